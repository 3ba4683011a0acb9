# Revision beside death on the sample extract, from its CSV files: cumulative incidence by cause and by reason (etm), Gray's test of those not
# entered late (cmprsk), cause-specific hazard ratios (coxph) and subdistribution ones (weighted coxph on risk sets made by hand).
source("helpers/record.R")
source("helpers/sampleProcedures.R")
source("helpers/subdistribution.R")
suppressMessages({ library(cmprsk); library(etm) })

# The first of the reasons in the order of the contract, and what it is read with
order <- c("infection", "periprosthetic_fracture", "glenoid_loosening", "humeral_loosening", "loosening", "lysis", "dissociation", "instability",
           "cuff_failure", "wear", "socket_erosion", "malposition", "stiffness", "pain", "other_reason")
read <- c("infection", "fracture", rep("loosening", 4), "instability", "instability", "cuff_failure", rep("other", 6))
stacked <- c("loosening", "instability", "infection", "fracture", "cuff_failure", "other", "not_recorded")
first <- vapply(strsplit(procedures$reasons, ";"), function(r) if (all(is.na(r))) NA_integer_ else min(match(r, order)), 0L)
procedures$reason <- order[first]
procedures$reasonGroup <- ifelse(is.na(first), "not_recorded", read[first])

shoulders <- procedures[procedures$joint == "shoulder" & procedures$class == "anatomic_total", ]
shoulders$age <- cut(shoulders$age, c(-Inf, 54, 64, 74, Inf), c("age-0", "age-1", "age-2", "age-3"))
days <- function(years) floor(years * 365.25 + 0.5)

case <- function(name, question, groups, years, adjust, ofInterest = rep(TRUE, nrow(shoulders)), strata = NULL, cluster = NULL) {
  data <- transform(shoulders, event = ifelse(event == 1 & !ofInterest, 2, event))
  data <- data[data$design %in% groups, ]
  data$group <- factor(data$design, groups)
  data <- upTo(data, days(question$horizonYears))
  for (v in adjust) data[[v]] <- relevel(factor(data[[v]]), names(which.max(table(data[[v]]))))

  # etm leaves events at time 0 out; a shift by one keeps them
  incidence <- function(rows, event, causes) {
    rows$from <- rows$entry + 1; rows$to <- rows$exit + 1; rows$cause <- event
    present <- sort(unique(event[event > 0]))
    table <- summary(etmCIF(Surv(from, to, cause != 0) ~ 1, data = rows, etype = cause, failcode = present), ci.fun = "cloglog")[[1]]
    lapply(causes, function(k) {
      events <- sapply(days(years), function(t) sum(event == k & rows$exit <= t))
      if (!k %in% present) return(list(events = events, percent = NA))
      own <- table[[match(k, present)]]
      at <- findInterval(days(years) + 1, own$time)
      list(events = events, percent = 100 * cbind(own$P, own$lower, own$upper)[at, , drop = FALSE])
    })
  }
  described <- lapply(groups, function(g) {
    rows <- data[data$group == g, ]
    net <- summary(survfit(Surv(entry, exit, event == 1) ~ 1, rows, conf.type = "log-log"), times = days(years))
    byReason <- ifelse(rows$event == 1, match(rows$reasonGroup, stacked), ifelse(rows$event == 0, 0, 6 + rows$event)) # one digit: etm matches names by their beginning
    list(group = g, events = I(sapply(1:3, function(k) sum(rows$event == k))), atRisk = net$n.risk,
         ifNoneDied = 100 * (1 - cbind(net$surv, net$upper, net$lower)),
         incidence = incidence(rows, rows$event, 1:3), reasons = incidence(rows, byReason, seq_along(stacked)))
  })

  fromStart <- data[data$entry < 0, ]
  stratum <- if (is.null(strata)) rep(1, nrow(fromStart)) else fromStart[[strata]]
  gray <- with(fromStart, cuminc(exit, event, group, stratum))$Tests
  test <- function(k) { # its own p-value is a difference from 1, without digits where it is small
    chisq <- gray[as.character(k), "stat"]; df <- gray[as.character(k), "df"]
    list(chisq = chisq, p = pchisq(chisq, df, lower.tail = FALSE), df = df)
  }

  terms <- paste(c("group", adjust, if (!is.null(strata)) sprintf("strata(%s)", strata)), collapse = " + ")
  data$id <- seq_len(nrow(data))
  ratios <- function(response, rows, by, weighted = FALSE) {
    rows$by <- if (is.null(by)) rows$id else rows[[by]]
    formula <- as.formula(paste(response, "~", terms))
    fit <- if (weighted) coxph(formula, rows, weights = weight, cluster = by, control = exact)
           else if (is.null(by)) coxph(formula, rows, control = exact) else coxph(formula, rows, cluster = by, control = exact)
    b <- coef(fit)[seq_len(length(groups) - 1)]; se <- sqrt(diag(vcov(fit)))[seq_along(b)]
    list(ratio = unname(exp(b + outer(se, c(0, -1, 1) * qnorm(0.975)))), p = I(unname(2 * pnorm(-abs(b / se)))))
  }
  list(name = name, question = question, version = registry$version,
       expected = list(groups = described, gray = list(procedures = nrow(fromStart), revision = test(1), death = test(3)),
                       revision = ratios("Surv(entry, exit, event == 1)", data, cluster), death = ratios("Surv(entry, exit, event == 3)", data, cluster),
                       subdistribution = ratios("Surv(start, stop, status)", lingering(data, data$group), cluster, weighted = TRUE)))
}

cohort <- list(joint = "shoulder", role = "glenoid", classes = I("anatomic_total"))
two <- c("all_poly_pegged", "all_poly_keeled")
three <- c(two, "metal_backed")
record("summary(etmCIF(...), ci.fun = \"cloglog\"); cuminc(...)$Tests; coxph(control = coxph.control(eps = 1e-14, iter.max = 100))", list(
  case("any revision, adjusted for age and sex, robust over patients",
       list(cohort = cohort, groups = two, reference = two[1], adjust = c("age", "sex"), horizonYears = 10, atYears = c(1, 2, 5, 7, 10)),
       two, c(1, 2, 5, 7, 10), c("age", "sex"), cluster = "patient_id"),
  case("revision for loosening, stratified by sex, to seven years",
       list(cohort = cohort, groups = three, reference = three[1], adjust = I("age"), strata = I("sex"), cluster = "none", horizonYears = 7, atYears = c(0.5, 3, 7),
            outcome = list(reasons = c("glenoid_loosening", "loosening", "lysis"))),
       three, c(0.5, 3, 7), "age", ofInterest = shoulders$reason %in% c("glenoid_loosening", "loosening", "lysis"), strata = "sex")
), c("survival", "cmprsk", "etm"))
