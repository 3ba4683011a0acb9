# What the command line says of a CSV file, from R: survfit, qchisq, survdiff, coxph, cox.zph. Rows with a count are expanded.
source("helpers/record.R")

# `...`: the command's options by name, which name columns of the data
listed <- function(option) if (is.null(option)) character(0) else strsplit(option, ",")[[1]]
or <- function(value, usual) if (is.null(value)) usual else value

case <- function(name, data, ...) {
  given <- list(time = "time", event = "event", ...)
  count <- if (is.null(given$count)) rep(1, nrow(data)) else data[[given$count]]
  needed <- function(columns) complete.cases(data[c(given$time, given$event, given$entry, given$count, columns)])
  rows <- function(columns) { keep <- needed(columns); data[keep, ][rep(seq_len(sum(keep)), count[keep]), ] }
  response <- if (is.null(given$entry)) sprintf("Surv(%s, %s == 1)", given$time, given$event)
              else sprintf("Surv(%s, %s, %s == 1)", given$entry, given$time, given$event)

  grouped <- rows(given$group)
  grouped$g <- if (is.null(given$group)) "all" else grouped[[given$group]]
  levels <- as.character(sort(unique(grouped$g), method = "radix"))
  km <- lapply(levels, function(level) {
    own <- grouped[grouped$g == level, ]
    scale <- or(given$conf, "log-log")
    fit <- survfit(as.formula(paste(response, "~ 1")), data = own, conf.type = scale, timefix = FALSE)
    # The exact binomial limit where none is revised yet
    none <- 100 * (1 - 0.025^(1 / fit$n.risk))
    first <- fit$surv == 1
    readable <- seq_len(max(0, which(fit$n.risk >= or(given$`min-at-risk`, 0))))
    curve <- list(time = fit$time, atRisk = fit$n.risk, events = fit$n.event, censored = fit$n.censor, percent = 100 * (1 - fit$surv),
                  stdErr = fit$surv * fit$std.err, lower = ifelse(first, 0, 100 * (1 - fit$upper)), upper = ifelse(first, none, 100 * (1 - fit$lower)))
    at <- lapply(as.numeric(listed(given$at)), function(t) {
      s <- summary(fit, times = t, extend = TRUE)
      beyond <- length(readable) == 0 || t > fit$time[max(readable)]
      begun <- s$surv < 1
      n <- sum(own[[given$time]] >= t & (if (is.null(given$entry)) TRUE else own[[given$entry]] < t))
      list(time = t, atRisk = n,
           events = sum(own[[given$event]] == 1 & own[[given$time]] <= t),
           percent = if (beyond) NA else 100 * (1 - s$surv), stdErr = if (beyond) NA else s$std.err,
           lower = if (beyond) NA else if (begun) 100 * (1 - s$upper) else 0,
           upper = if (beyond) NA else if (begun) 100 * (1 - s$lower) else if (n > 0) 100 * (1 - 0.025^(1 / n)) else NA)
    })
    list(group = level, n = nrow(own), events = sum(own[[given$event]] == 1), curve = lapply(curve, function(column) I(column[readable])), at = at)
  })
  rates <- lapply(levels, function(level) {
    own <- grouped[grouped$g == level, ]
    d <- sum(own[[given$event]] == 1)
    time <- sum(own[[given$time]] - (if (is.null(given$entry)) 0 else own[[given$entry]]))
    list(group = level, events = d, time = time, per100 = 100 * d / time,
         lower = 50 * qchisq(0.025, 2 * d) / time, upper = 50 * qchisq(0.975, 2 * d + 2) / time)
  })

  expected <- list(n = nrow(rows(NULL)), events = sum(rows(NULL)[[given$event]] == 1), km = km, rates = rates)
  strata <- listed(given$strata)
  stratified <- if (length(strata) == 0) "" else sprintf("+ strata(%s)", paste(strata, collapse = ", "))
  if (!is.null(given$group) && is.null(given$entry)) { # survdiff has no late entry
    test <- survdiff(as.formula(paste(response, "~", given$group, stratified)), data = rows(c(given$group, strata)))
    expected$logrank <- list(chisq = test$chisq, df = length(levels) - 1, p = pchisq(test$chisq, length(levels) - 1, lower.tail = FALSE))
  }

  terms <- unique(c(listed(given$covariates), listed(given$factors)))
  factors <- listed(given$factors)
  if (length(terms) == 0) factors <- terms <- given$group
  if (length(terms) > 0) {
    # method radix: text by character code, whatever the locale
    modelled <- rows(c(terms, strata, given$cluster))
    for (f in factors) modelled[[f]] <- factor(modelled[[f]], levels = sort(unique(modelled[[f]]), method = "radix"))
    formula <- as.formula(paste(response, "~", paste(terms, collapse = " + "), stratified))
    ties <- or(given$ties, "efron")
    fit <- coxph(formula, data = modelled, ties = ties, control = exact)
    robust <- if (is.null(given$cluster)) NULL
              else do.call(coxph, list(formula, data = modelled, ties = ties, control = exact, cluster = as.name(given$cluster)))
    se <- sqrt(diag(vcov(fit)))
    robustSe <- if (is.null(robust)) NULL else sqrt(diag(vcov(robust)))
    used <- or(robustSe, se)
    chi <- function(chisq, df) list(chisq = chisq, df = df, p = pchisq(chisq, df, lower.tail = FALSE))
    k <- length(coef(fit))
    z <- cox.zph(fit, transform = "km")$table
    expected$cox <- list(
      ties = ties, n = fit$n, events = fit$nevent,
      terms = lapply(seq_len(k), function(j) {
        term <- terms[which(sapply(fit$assign, function(columns) j %in% columns))]
        level <- if (term %in% factors) sub(term, "", names(coef(fit))[j], fixed = TRUE) else NA
        b <- unname(coef(fit)[j])
        list(term = term, level = level, coef = b, se = unname(se[j]), robustSe = if (is.null(robustSe)) NA else unname(robustSe[j]), hr = exp(b),
             lower = unname(exp(b - qnorm(0.975) * used[j])), upper = unname(exp(b + qnorm(0.975) * used[j])), z = unname(b / used[j]),
             p = unname(2 * pnorm(-abs(b / used[j]))), status = "ok")
      }),
      logLik = list(null = fit$loglik[1], fitted = fit$loglik[2]),
      tests = list(lr = chi(2 * diff(fit$loglik), k), wald = chi(unname(or(robust, fit)$wald.test), k), score = chi(fit$score, k)))
    zphOf <- function(row) list(chisq = unname(z[row, "chisq"]), df = unname(z[row, "df"]), p = unname(z[row, "p"]))
    expected$ph <- list(transform = "km", terms = lapply(seq_along(terms), function(t) c(list(term = terms[t]), zphOf(t))), global = zphOf("GLOBAL"))
  }
  list(name = name, input = lapply(data, I), options = given, expected = expected)
}

lungs <- with(lung, data.frame(time, event = status - 1, age, sex, ph.ecog, ph.karno, wt.loss, inst))
veterans <- with(veteran, data.frame(time, event = status, trt, celltype = as.character(celltype), karno, diagtime, age, prior))
hearts <- with(heart, data.frame(start, time = stop, event, age, year, surgery, transplant = as.character(transplant), id))
litters <- with(rats, data.frame(litter, rx, time, event = status, sex))
gammopathy <- with(mgus2, data.frame(time = ifelse(pstat == 1, ptime, futime) / 12, event = ifelse(pstat == 1, 1, 2 * death), sex, age, mspike))
counted <- counted(with(veteran, data.frame(time = months(time), event = status, trt, prior)))

record("survfit; survdiff; coxph(control = coxph.control(eps = 1e-14, iter.max = 100)); cox.zph(transform = \"km\")", list(
  case("lung by sex, cells missing, institution as cluster", lungs, group = "sex", covariates = "age,ph.karno,wt.loss", factors = "ph.ecog",
       cluster = "inst", at = "0,5,180,365,730,5000"),
  case("lung, no group and no model", lungs, at = "100.5"),
  case("lung by performance, stratified by sex and institution, Breslow", lungs, group = "ph.ecog", covariates = "age", strata = "sex,inst",
       ties = "breslow", conf = "log"),
  case("veteran by cell type alone, plain limits", veterans, group = "celltype", conf = "plain", at = "30,90,180"),
  case("veteran, a factor and numbers, stratified", veterans, group = "trt", covariates = "celltype,karno,age", factors = "celltype", strata = "prior"),
  case("veteran, stopped below 20 at risk", veterans, group = "trt", `min-at-risk` = 20, at = "100,200,300"),
  case("heart, late entry, patient as cluster", hearts, entry = "start", group = "transplant", covariates = "age,year,surgery", factors = "transplant",
       cluster = "id", at = "1,100,1000"),
  case("rats, litter as cluster, Breslow", litters, group = "rx", covariates = "rx", strata = "sex", cluster = "litter", ties = "breslow"),
  case("mgus2 in years, death competes", gammopathy, group = "sex", covariates = "age,mspike", factors = "sex", at = "1,5,10.5"),
  case("veteran in months, counted", counted, count = "count", group = "trt", covariates = "trt", factors = "prior", at = "3,6")))
