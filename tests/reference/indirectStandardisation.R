# Expected deaths of lung cancer patients by institution, from Cox fits and cumulative hazards, with exact and mid-P limits of O/E.
source("helpers/record.R")

patients <- na.omit(with(survival::lung, data.frame(exit = time, event = as.numeric(status == 2), age = age, sex = sex, ecog = ph.ecog, unit = inst)))
patients$unit <- match(patients$unit, sort(unique(patients$unit))) - 1
patients$entry <- ifelse(seq_len(nrow(patients)) %% 4 == 0 & patients$exit > 60, 45, -1) # made up: every fourth enters late

midP <- function(o, e) ppois(o, e, lower.tail = FALSE) + dpois(o, e) / 2 # this many or more
midPLimits <- function(o) {
  root <- function(f) uniroot(f, c(1e-9, 10 * o + 20), tol = 1e-14)$root
  c(if (o == 0) 0 else root(function(m) midP(o, m) - 0.025), root(function(m) 1 - midP(o, m) - 0.025))
}

# expected(reference, unit): the expected deaths of each of the unit's patients
byUnit <- function(name, expected, share, late = FALSE) {
  rows <- lapply(sort(unique(patients$unit)), function(u) {
    own <- patients[patients$unit == u, ]
    leftOut <- nrow(own) / nrow(patients) > share
    reference <- if (leftOut) patients[patients$unit != u, ] else patients
    until <- max(reference$exit)
    own$event[own$exit > until] <- 0
    own$exit <- pmin(own$exit, until)
    o <- sum(own$event); e <- sum(expected(reference, own))
    exact <- unname(poisson.test(o, e)$conf.int)
    data.frame(unit = u, procedures = nrow(own), leftOut = leftOut, observed = o, expected = e, lower = exact[1], upper = exact[2],
               midLower = midPLimits(o)[1] / e, midUpper = midPLimits(o)[2] / e,
               higher = ppois(o - 1, e, lower.tail = FALSE), higherMid = midP(o, e), fewer = ppois(o, e), fewerMid = 1 - midP(o, e))
  })
  list(name = name, late = late, share = share, units = do.call(rbind, rows))
}

byCox <- function(reference, own) {
  fit <- coxph(Surv(exit, event) ~ age + sex + ecog, reference, ties = "breslow", control = exact)
  e <- predict(fit, newdata = own, type = "expected")
  stopifnot(all.equal(exp(-e), survexp(exit ~ 1, own, ratetable = fit, method = "individual.s"), check.attributes = FALSE, tolerance = 1e-10))
  e
}
byStratifiedCox <- function(reference, own) {
  fit <- coxph(Surv(exit, event) ~ age + ecog + strata(sex), reference, ties = "breslow", control = exact)
  predict(fit, newdata = own, type = "expected")
}
late <- function(reference, own) {
  fit <- coxph(Surv(entry, exit, event) ~ age + sex, reference, ties = "breslow", control = exact)
  predict(fit, newdata = own, type = "expected")
}
nelsonAalen <- function(reference, own) {
  hazard <- function(s) { fit <- survfit(Surv(exit, event) ~ 1, reference[reference$sex == s, ], ctype = 1); function(t) c(0, fit$cumhaz)[findInterval(t, fit$time) + 1] }
  by <- list(hazard(1), hazard(2))
  mapply(function(t, s) by[[s]](t), own$exit, own$sex)
}

limits <- expand.grid(observed = c(0, 1, 2, 5, 10, 12, 40, 250), confidence = 0.95)
cases <- list(
  list(name = "patients", input = patients),
  byUnit("Cox: age, sex and ECOG score", byCox, 0.1),
  byUnit("Cox: age and ECOG score within sex", byStratifiedCox, 0.1),
  byUnit("Cox with late entry, nobody left out", late, 1, late = TRUE),
  byUnit("Nelson-Aalen by sex, each left out", nelsonAalen, 0),
  list(name = "mid-P limits", observed = limits$observed, lower = sapply(limits$observed, function(o) midPLimits(o)[1]), upper = sapply(limits$observed, function(o) midPLimits(o)[2]))
)
record("predict(coxph(..., ties = 'breslow'), type = 'expected'); survfit(ctype = 1)$cumhaz; poisson.test; uniroot on ppois", cases)
