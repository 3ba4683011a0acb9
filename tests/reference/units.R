# Hospitals and surgeons of the sample extract against everyone, and one hospital against the others, from its CSV files: expected revisions by coxph
# (Breslow's ties) and predict(type = "expected"), by reason from the steps of basehaz; the spread of units by the formulas of Spiegelhalter 2005,
# Stat Med 24:1185, and by negative binomial regression; curves by survfit; percents with one case mix by a Cox model with a baseline per group.
source("helpers/record.R")
source("helpers/sampleComparisons.R")
source("helpers/negativeBinomial.R")

shoulders$linkedById <- !is.na(revisions$procedure_id[first])[match(shoulders$line, procedures$line)]
covariate <- c(column, class = "class")
declared <- c("infection", "periprosthetic_fracture", "glenoid_loosening", "humeral_loosening", "loosening", "lysis", "dissociation", "instability",
              "cuff_failure", "wear", "socket_erosion", "malposition", "stiffness", "pain", "other_reason")
group <- c(glenoid_loosening = "loosening", humeral_loosening = "loosening", loosening = "loosening", lysis = "loosening", instability = "instability",
           dissociation = "instability", infection = "infection", periprosthetic_fracture = "fracture", cuff_failure = "cuff_failure")
reasonOf <- function(reasons) sapply(strsplit(reasons, ";"), function(r) if (all(is.na(r))) NA else declared[min(match(r, declared))])
shoulders$reason <- reasonOf(shoulders$reasons)
shoulders$reasonGroup <- ifelse(is.na(shoulders$reason), "not_recorded", ifelse(shoulders$reason %in% names(group), group[shoulders$reason], "other"))
groups <- c("loosening", "instability", "infection", "fracture", "cuff_failure", "other", "not_recorded")

cohortOf <- function(q) {
  data <- shoulders
  if (!is.null(q$outcome$reasons)) data$event[data$event == 1 & !(data$reason %in% q$outcome$reasons)] <- 2
  data <- upTo(data, floor(q$horizonYears * 365.25 + 0.5))
  data
}
complete <- function(data, q) data[complete.cases(data[covariate[q$adjust]]), ]
fitOn <- function(data, q) coxph(as.formula(paste("Surv(entry, exit, revised) ~", paste(covariate[q$adjust], collapse = " + "))), data, ties = "breslow", control = exact)
expectedOf <- function(fit, data) as.vector(predict(fit, newdata = data, type = "expected"))

spread <- function(o, e) {
  z <- 2 * (sqrt(o) - sqrt(e)); q <- quantile(z, c(0.1, 0.9), type = 7); n <- length(o); w <- 4 * e
  phi <- mean(pmin(pmax(z, q[1]), q[2])^2)
  list(factor = phi, betweenVariance = (n * phi - (n - 1)) / (sum(w) - sum(w^2) / sum(w)))
}

every <- function(name, q) {
  data <- complete(cohortOf(q), q)
  e <- tapply(expectedOf(fitOn(data, q), data), data[[paste0(q$kind, "_id")]], sum); o <- tapply(data$revised, data[[paste0(q$kind, "_id")]], sum)
  gamma <- gammaFit(as.vector(o), as.vector(e)); by <- spread(as.vector(o), as.vector(e))
  upper <- (1 + qnorm(0.975) * sqrt(1 / (4 * e) + by$betweenVariance))^2
  list(name = name, input = list(version = registry$version, question = q), expected = list(
    procedures = nrow(data), observed = sum(data$revised),
    units = list(id = names(e), observed = as.vector(o), expected = as.vector(e), upper = as.vector(upper)),
    asked = I(names(e)[e >= 2 & o / e >= 1.5 & o / e > upper]), overdispersion = by, spread = gamma))
}

one <- function(name, q, id, region = FALSE) {
  data <- cohortOf(q); unit <- data[[paste0(q$kind, "_id")]] == id
  if (region) { data <- data[unit | data$region %in% data$region[unit][1], ]; unit <- data[[paste0(q$kind, "_id")]] == id }
  data$side <- factor(ifelse(unit, "unit", "peers"), c("unit", "peers"))
  rows <- complete(data, q); own <- rows[rows$side == "unit", ]; peers <- rows[rows$side == "peers", ]
  fit <- fitOn(peers, q); own$e <- expectedOf(fit, own); peers$e <- expectedOf(fit, peers)
  hazard <- basehaz(fit, centered = FALSE); steps <- data.frame(time = hazard$time, step = diff(c(0, hazard$hazard)))
  relative <- exp(predict(fit, newdata = own, type = "lp", reference = "zero"))
  deaths <- table(factor(peers$exit[peers$revised == 1], steps$time), factor(peers$reasonGroup[peers$revised == 1], groups))
  byReason <- sapply(groups, function(g) {
    cumulative <- cumsum(c(0, steps$step * ifelse(rowSums(deaths) == 0, 0, deaths[, g] / rowSums(deaths))))
    sum(relative * (cumulative[findInterval(own$exit, steps$time) + 1] - cumulative[findInterval(own$entry, steps$time) + 1]))
  })
  cut <- function(by) { e <- tapply(own$e, by, sum); list(key = names(e), procedures = as.vector(table(by)), observed = as.vector(tapply(own$revised, by, sum)), expected = as.vector(e)) }
  none <- function(x) ifelse(is.na(x), "none", x)
  usualBy <- function(by, kept) { by <- factor(by, kept); as.vector(tapply(peers$revised, by, sum) / tapply(peers$e, by, sum)) }
  days <- floor(unlist(q$atYears) * 365.25 + 0.5)
  crude <- lapply(split(data, data$side), function(d) summary(survfit(Surv(entry, exit, revised) ~ 1, d, conf.type = "log-log"), times = days))
  both <- coxph(as.formula(paste("Surv(entry, exit, revised) ~", paste(covariate[q$adjust], collapse = " + "), "+ strata(side)")), rows, control = exact)
  baseline <- basehaz(both, centered = FALSE)
  theta <- exp(as.vector(model.matrix(as.formula(paste("~", paste(covariate[q$adjust], collapse = " + "))), rows)[, -1] %*% coef(both)))
  adjusted <- sapply(c("unit", "peers"), function(s) { h <- baseline[baseline$strata == s, ]
    100 * (1 - colMeans(exp(-outer(theta, c(0, h$hazard)[findInterval(days, h$time) + 1])))) })
  share <- function(x, of = TRUE) lapply(split(data.frame(x, of), data$side), function(d) c(sum(d$x & d$of), sum(d$of)))
  dates <- as.Date(data$procedure_date); end <- data$day + shoulders$exit[match(data$line, shoulders$line)]; raw <- shoulders$event[match(data$line, shoulders$line)]
  list(name = name, input = list(version = registry$version, question = q, unit = id), expected = list(
    observed = sum(own$revised), expected = sum(own$e), reference = list(procedures = nrow(peers), observed = sum(peers$revised)),
    reason = list(observed = as.vector(table(factor(own$reasonGroup[own$revised == 1], groups))), expected = unname(byReason)),
    design = c(cut(none(own$design)), list(peers = usualBy(none(peers$design), sort(unique(none(own$design)))))), indication = cut(own$indication), years = cut(own$year),
    crude = lapply(unname(crude), function(s) list(atRisk = s$n.risk, percent = 100 * (1 - s$surv), lower = 100 * (1 - s$upper), upper = 100 * (1 - s$lower))),
    adjusted = list(adjusted[, 1], adjusted[, 2]),
    quality = lapply(list(left_out = !(data$line %in% rows$line), no_asa = is.na(data$asa_grade), no_bmi = is.na(data$bmi), no_approach = is.na(data$approach),
                          ended_early = raw == 0 & end < closing, late_entry = data$entry > 0, recent = data$day > closing - 365,
                          first_of_month = format(dates, "%d") == "01"), function(x) unname(share(x))),
    linked = unname(share(!data$linkedById, raw == 1))))
}

usual <- list(horizonYears = 10, adjust = c("age", "sex", "indication", "class", "period"))
record("coxph(ties = \"breslow\", control = coxph.control(eps = 1e-14, iter.max = 100)); predict(type = \"expected\"); basehaz(centered = FALSE); survfit(conf.type = \"log-log\")", list(
  every("all hospitals, as usual", c(kind = "hospital", usual)),
  every("all surgeons, infection to five years, with incomplete covariates", list(kind = "surgeon", horizonYears = 5, adjust = c("age_linear", "asa", "bmi"), outcome = list(reasons = I("infection")))),
  one("a hospital against all others", c(kind = "hospital", usual, list(atYears = c(1, 2, 5, 10))), "H044"),
  one("a surgeon against those of the region, with incomplete covariates", list(kind = "surgeon", horizonYears = 8, adjust = c("age_linear", "sex", "bmi"), peers = "region", atYears = c(2, 5)), "S0219", region = TRUE)),
  packages = c("survival", "MASS"))
