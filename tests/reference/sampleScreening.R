# Screening of every model of the sample extract from its CSV files: revisions expected under one hazard per kind (Nelson-Aalen), exact
# conditional tests, Benjamini & Hochberg's adjustment, shrunken ratios; and for single models the adjusted hazard ratio against all others of
# the kind with limits robust over hospitals, within hospitals, without the largest users, and by period.
source("helpers/record.R")
source("helpers/negativeBinomial.R")
source("helpers/sampleComparisons.R")

catalogue <- extractTable("models")
listed <- extractTable("components")
entry <- match(listed$model_code, catalogue$model_code)
listed <- listed[!is.na(entry) & listed$role == catalogue$role[entry] & listed$design_class == catalogue$design_class[entry], ]
roles <- c("glenoid", "glenosphere", "humeral_stem", "humeral_head", "humeral_insert")
shoulders$agePart <- relevel(shoulders$ageBand, "2")

withRole <- function(role) {
  ofRole <- listed[listed$role == role, ]
  at <- match(shoulders$procedure_id, ofRole$procedure_id)
  data <- transform(shoulders, model = ofRole$model_code[at], design = ofRole$design_class[at])
  upTo(data[!is.na(data$model), ], 3653)
}

# Expected revisions of each procedure under the cumulative hazard of the compared of its kind
expectedOf <- function(data, apart) {
  fit <- survfit(Surv(entry, exit, revised) ~ 1, data = data[!data$model %in% apart, ], ctype = 1)
  hazard <- stepfun(fit$time, c(0, fit$cumhaz))
  hazard(data$exit) - hazard(data$entry)
}

ratesOf <- function(role, comparator, apart) {
  data <- withRole(role)
  data$kind <- if (comparator == "role") role else paste(role, data$design)
  do.call(rbind, lapply(split(data, data$kind), function(kind) {
    kind$expected <- expectedOf(kind, apart)
    do.call(rbind, lapply(split(kind, kind$model), function(one) with(one, data.frame(
      role = role, model = model[1], kind = kind[1], procedures = nrow(one), atRisk = sum(exit >= 731 & entry < 731), observed = sum(revised),
      exposure = sum(expected), years = sum(exit - pmax(entry, 0)) / 365.25))))
  }))
}

screened <- function(name, comparator = "design", only = roles, apart = character(0)) {
  rates <- do.call(rbind, lapply(only, ratesOf, comparator, apart))
  others <- do.call(rbind, lapply(seq_len(nrow(rates)), function(i) {
    rest <- rates[rates$kind == rates$kind[i] & rates$model != rates$model[i] & !rates$model %in% apart, ]
    data.frame(observed = sum(rest$observed), exposure = sum(rest$exposure))
  }))
  share <- rates$exposure / (rates$exposure + others$exposure)
  rates$expected <- (rates$observed + others$observed) * share
  fromOthers <- others$observed * rates$exposure / others$exposure
  rates$ratio <- rates$observed / fromOthers
  limits <- mapply(function(o1, e1, o2, e2) poisson.test(c(o1, o2), c(e1, e2))$conf.int, rates$observed, rates$exposure, others$observed, others$exposure)
  rates$lower <- limits[1, ]
  rates$upper <- limits[2, ]
  assessed <- rates$atRisk >= 50 & rates$expected >= 1
  exact <- mapply(function(o1, o2, p) binom.test(o1, o1 + o2, p, alternative = "greater")$p.value, rates$observed, others$observed, share)
  rates$midP <- ifelse(assessed, exact - dbinom(rates$observed, rates$observed + others$observed, share) / 2, NA)
  rates$adjusted <- p.adjust(rates$midP, "BH")
  fit <- gammaFit(rates$observed[assessed], fromOthers[assessed])
  rates$shrunkenLower <- qgamma(0.025, fit$shape + rates$observed, fit$rate + fromOthers)
  rates$flagged <- assessed & rates$ratio >= 1.5 & rates$shrunkenLower > 1 & rates$adjusted <= 0.05
  question <- list(comparator = comparator, exceptModels = I(apart), roles = I(if (identical(only, roles)) character(0) else only))
  list(name = name, input = list(version = registry$version, question = question), expected = rates[order(rates$role, rates$model), ])
}

adjust <- c("agePart", "sex", "indication", "period", "class")
ofModel <- function(name, role, model, comparator = "design") {
  cohort <- withRole(role)
  if (comparator == "design") cohort <- cohort[cohort$design == cohort$design[cohort$model == model][1], ]
  cohort$own <- as.numeric(cohort$model == model)
  varying <- Filter(function(v) length(unique(cohort[[v]])) > 1, adjust)
  limits <- function(fit, at = 1) {
    b <- coef(fit)[at]; se <- sqrt(diag(vcov(fit)))[at]
    unname(exp(b + outer(se, c(0, -1, 1) * qnorm(0.975))))
  }
  formula <- function(terms) as.formula(paste("Surv(entry, exit, revised) ~", paste(terms, collapse = " + ")))
  # columns of levels that an alternative leaves nobody of, or nobody revised, would be left without an estimate
  fit <- function(data, terms) limits(suppressWarnings(coxph(formula(terms), data = data, control = exact, cluster = hospital_id)))
  largest <- vapply(split(cohort$hospital_id, cohort$own), function(h) names(which.max(table(h))), "")
  without <- cohort[!cohort$hospital_id %in% largest, ]
  z <- cox.zph(coxph(formula(c("own", varying)), data = cohort, control = exact), transform = "km")$table["own", ]

  byPeriod <- function(data, more = character(0)) {
    data <- data[c("entry", "exit", "revised", "own", "hospital_id", varying)]
    split <- survSplit(Surv(entry, exit, revised) ~ ., data = data, cut = c(183, 731), episode = "piece", start = "entry", end = "exit", event = "revised")
    split$x <- sapply(1:3, function(k) split$own * (split$piece == k))
    limits(suppressWarnings(coxph(formula(c("x", varying, more)), data = split, control = exact, cluster = hospital_id)), 1:3)
  }
  list(name = name, input = list(role = role, model = model, comparator = comparator),
       expected = list(procedures = nrow(cohort), events = sum(cohort$revised), hospitals = length(unique(cohort$hospital_id)),
                       unadjusted = fit(cohort, "own"), adjusted = fit(cohort, c("own", varying)), zph = list(chisq = z[["chisq"]], p = z[["p"]]),
                       withinHospitals = fit(cohort, c("own", varying, "strata(hospital_id)")), withoutLargestUser = fit(without, c("own", varying)),
                       periods = byPeriod(cohort),
                       repeatPeriods = if (z[["p"]] < 0.05) list(withinHospitals = byPeriod(cohort, "strata(hospital_id)"), withoutLargestUser = byPeriod(without))))
}

record("survfit(ctype = 1); binom.test, poisson.test, p.adjust(method = 'BH'), MASS::glm.nb; coxph(control = coxph.control(eps = 1e-14, iter.max = 100), cluster = hospital); cox.zph; survSplit", list(
  rates = list(
    screened("every model against its design class"),
    screened("glenoid components against all of their role", "role", "glenoid"),
    screened("one model left out of the comparators", only = "glenoid", apart = "G-FLU-02")),
  models = list(
    ofModel("a fluted-peg glenoid component", "glenoid", "G-FLU-02"),
    ofModel("a short stem", "humeral_stem", "H-SHO-02"),
    ofModel("a metal-backed glenoid component against all of its role, by period", "glenoid", "G-MET-02", "role"))
), packages = c("survival", "MASS"))
