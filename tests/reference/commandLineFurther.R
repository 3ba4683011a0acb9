# The further estimates that the command line has for a CSV file, from R: etm, cmprsk, finegray and a weighted coxph, survfit's restricted means,
# contrasts of survfit's estimates by plain code, smoothed hazards with kernels from their moments. Rows with a count are expanded.
source("helpers/record.R")
source("helpers/boundaryKernel.R")
suppressMessages({ library(cmprsk); library(etm) })
z <- qnorm(0.975)
listed <- function(option) if (is.null(option)) character(0) else strsplit(option, ",")[[1]]
or <- function(value, usual) if (is.null(value)) usual else value

case <- function(name, data, ...) {
  given <- list(time = "time", event = "event", ...)
  rows <- if (is.null(given$count)) data else data[rep(seq_len(nrow(data)), data[[given$count]]), ]
  rows$g <- if (is.null(given$group)) "all" else as.character(rows[[given$group]])
  rows$entry <- if (is.null(given$entry)) -1 else rows[[given$entry]]
  levels <- sort(unique(rows$g), method = "radix"); at <- as.numeric(listed(given$at)); causes <- seq_len(max(rows$event))
  own <- lapply(levels, function(level) rows[rows$g == level, ])
  curves <- lapply(own, function(r) survfit(Surv(entry, time, event == 1) ~ 1, r, conf.type = "log-log", timefix = FALSE))
  reach <- min(sapply(own, function(r) max(r$time)))
  readable <- function(r) at[at <= max(r$time)]

  # Times are shifted by one, as etm leaves events at time 0 out
  expected <- list(aalenJohansen = lapply(seq_along(levels), function(k) {
    r <- own[[k]]; r$from <- r$entry + 1; r$to <- r$time + 1; present <- intersect(causes, r$event)
    table <- summary(etmCIF(Surv(from, to, event != 0) ~ 1, r, etype = event, failcode = present), ci.fun = "cloglog")[[1]]
    list(group = levels[k], n = nrow(r), causes = lapply(causes, function(cause) {
      one <- table[[match(cause, present)]]
      place <- findInterval(readable(r) + 1, one$time)
      list(cause = cause, events = sum(r$event == cause),
           at = lapply(seq_along(place), function(j) list(time = readable(r)[j], percent = 100 * one$P[place[j]], stdErr = sqrt(one$var[place[j]]),
                                                          lower = 100 * one$lower[place[j]], upper = 100 * one$upper[place[j]])))
    }))
  }))
  strata <- listed(given$strata)
  stratum <- if (length(strata) == 0) rep(1, nrow(rows)) else interaction(rows[strata])
  if (!is.null(given$group) && is.null(given$entry)) {
    tests <- cuminc(rows$time, rows$event, rows$g, stratum)$Tests
    expected$gray <- lapply(causes, function(k) {
      chisq <- tests[as.character(k), "stat"]; df <- tests[as.character(k), "df"]
      list(cause = k, chisq = chisq, df = df, p = pchisq(chisq, df, lower.tail = FALSE))
    })
  }

  terms <- listed(given$covariates)
  if (length(terms) > 0) {
    rows$id <- seq_len(nrow(rows)); rows$by <- if (is.null(given$cluster)) rows$id else rows[[given$cluster]]
    rows$state <- factor(pmin(rows$event, 2), 0:2)
    weighted <- finegray(as.formula(paste("Surv(entry, time, state) ~ .", if (length(strata) > 0) sprintf("+ strata(%s)", paste(strata, collapse = ", ")))),
                         rows, etype = "1", id = id, timefix = FALSE)
    for (s in strata) weighted[[s]] <- rows[[s]][match(weighted$id, rows$id)]
    formula <- reformulate(c(terms, if (length(strata) > 0) sprintf("strata(%s)", paste(strata, collapse = ", "))), "Surv(fgstart, fgstop, fgstatus)")
    fit <- do.call(coxph, list(formula, weighted, weights = weighted$fgwt, cluster = weighted$by, ties = or(given$ties, "efron"), control = exact))
    b <- unname(coef(fit)); se <- unname(sqrt(diag(vcov(fit))))
    expected$fineGray <- list(n = nrow(rows), events = sum(rows$event == 1), clusters = length(unique(rows$by)), terms = lapply(seq_along(b), function(j) list(
      term = terms[j], coef = b[j], robustSe = se[j], hr = exp(b[j]), lower = exp(b[j] - z * se[j]), upper = exp(b[j] + z * se[j]),
      z = b[j] / se[j], p = 2 * pnorm(-abs(b[j] / se[j])), status = "ok")),
      tests = list(wald = list(chisq = unname(fit$wald.test), df = length(b), p = pchisq(unname(fit$wald.test), length(b), lower.tail = FALSE))))
  }

  tau <- or(given$tau, reach)
  means <- sapply(curves, function(fit) survival:::survmean(fit, rmean = tau)$matrix[c("rmean", "se(rmean)")])
  expected$rmst <- list(
    tau = tau,
    groups = lapply(seq_along(levels), function(k) list(group = levels[k], mean = means[1, k], stdErr = means[2, k], lower = max(0, means[1, k] - z * means[2, k]),
                                                        upper = min(tau, means[1, k] + z * means[2, k]))),
    differences = lapply(seq_along(levels)[-1], function(k) {
      d <- means[1, k] - means[1, 1]; se <- sqrt(sum(means[2, c(1, k)]^2))
      list(group = levels[k], against = levels[1], difference = d, lower = d - z * se, upper = d + z * se, p = 2 * pnorm(-abs(d / se)))
    }))

  expected$contrasts <- do.call(c, lapply(at[at <= reach], function(t) lapply(seq_along(levels)[-1], function(k) {
    s <- lapply(curves[c(k, 1)], summary, times = t)
    f <- 1 - sapply(s, `[[`, "surv"); lower <- 1 - sapply(s, `[[`, "upper"); upper <- 1 - sapply(s, `[[`, "lower"); se <- sapply(s, `[[`, "std.err")
    chisq <- diff(log(-log(1 - f)))^2 / sum((se / ((1 - f) * log(1 - f)))^2); spread <- z * sqrt(sum((se / f)^2))
    list(time = t, group = levels[k], against = levels[1],
         difference = list(value = 100 * (f[1] - f[2]), lower = 100 * (f[1] - f[2] - sqrt((f[1] - lower[1])^2 + (upper[2] - f[2])^2)),
                           upper = 100 * (f[1] - f[2] + sqrt((upper[1] - f[1])^2 + (f[2] - lower[2])^2))),
         ratio = list(value = f[1] / f[2], lower = f[1] / f[2] * exp(-spread), upper = f[1] / f[2] * exp(spread)),
         test = list(chisq = chisq, df = 1, p = pchisq(chisq, 1, lower.tail = FALSE)))
  })))
  expected$conditional <- do.call(c, lapply(seq_along(levels), function(k) do.call(c, lapply(at, function(from) lapply(readable(own[[k]])[readable(own[[k]]) > from], function(t) {
    rest <- own[[k]][own[[k]]$time > from, ]; rest$entry <- pmax(rest$entry, from)
    s <- summary(survfit(Surv(entry, time, event == 1) ~ 1, rest, conf.type = "log-log", timefix = FALSE), times = t)
    list(group = levels[k], from = from, time = t, events = s$n.event, percent = 100 * (1 - s$surv), stdErr = s$std.err, lower = 100 * (1 - s$upper), upper = 100 * (1 - s$lower))
  })))))
  bandwidth <- or(given$bandwidth, reach / 4)
  expected$smoothedHazard <- list(bandwidth = bandwidth, groups = lapply(seq_along(levels), function(k) {
    found <- smoothed(curves[[k]], bandwidth, max(own[[k]]$time), 101)
    empty <- found$hazard < 0
    list(group = levels[k], curve = lapply(found, function(column) I(ifelse(empty & !identical(column, found$time), NA, column))))
  }))
  list(name = name, input = lapply(data, I), options = given, expected = expected)
}

gammopathy <- with(mgus2[complete.cases(mgus2[c("sex", "age", "mspike")]), ], data.frame(
  time = ifelse(pstat == 1, ptime, futime), event = ifelse(pstat == 1, 1, 2 * death), sex = as.character(sex), age, mspike))
gammopathy$old <- as.numeric(gammopathy$age > 70)
recurrence <- with(colon[colon$etype == 1, ], data.frame(time, event = status, rx = as.character(rx), node4, id))
byYear <- counted(with(gammopathy, data.frame(time = ceiling(time / 12), event, old, male = as.numeric(sex == "M"))))

record("summary(etmCIF); cuminc; finegray and coxph; survival:::survmean; summary(survfit)", list(
  case("mgus2: progression by sex, death competes", gammopathy, group = "sex", covariates = "age,mspike", at = "24,60,120", tau = 240, bandwidth = 36),
  case("mgus2, stratified by age, Breslow", gammopathy, group = "sex", covariates = "mspike", strata = "old", ties = "breslow", at = "60"),
  case("mgus2 in years, counted", byYear, count = "count", group = "male", covariates = "male,old", at = "2,5"),
  case("colon cancer by treatment, nothing competes", recurrence, group = "rx", covariates = "node4", cluster = "id", at = "365,1000,2000"),
  case("colon cancer, no group", recurrence, at = "500.5,1500")
), c("survival", "cmprsk", "etm"))
