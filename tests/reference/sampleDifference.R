# Absolute differences on the sample extract, from its CSV files: percents by survfit, differences, ratios and tests by plain code, restricted
# means by survfit's own summary, conditional percents by survfit of those still there, smoothed hazards with kernels from their moments;
# adjusted percents by coxph and basehaz averaged over the cohort, their errors from numerical derivatives by the weight of each patient.
source("helpers/record.R")
source("helpers/sampleProcedures.R")
source("helpers/boundaryKernel.R")
z <- qnorm(0.975)
days <- function(years) floor(years * 365.25 + 0.5)

shoulders <- procedures[procedures$joint == "shoulder" & procedures$class == "anatomic_total", ]
shoulders$year <- as.integer(format(as.Date(shoulders$procedure_date), "%Y"))
shoulders$age <- cut(shoulders$age, c(-Inf, 54, 64, 74, Inf), c("age-0", "age-1", "age-2", "age-3"))
groups <- c("all_poly_pegged", "all_poly_keeled")
cohortOf <- function(horizonYears, from = -Inf, to = Inf) {
  data <- shoulders[shoulders$design %in% groups & shoulders$year >= from & shoulders$year <= to, ]
  upTo(data, days(horizonYears))
}

# The second less the first; limits recovered from those of the two and their correlation
limitsOf <- function(s, se) { margin <- z * se / (s * abs(log(s))); cbind(lower = 1 - s^exp(-margin), upper = 1 - s^exp(margin)) }
contrast <- function(s, se, covariance = 0) {
  f <- 1 - s; limits <- limitsOf(s, se); lower <- limits[, "lower"]; upper <- limits[, "upper"]
  r <- covariance / prod(se)
  margin <- function(a, b) sqrt(a^2 + b^2 - 2 * r * a * b)
  spread <- sqrt(sum((se / f)^2) - 2 * covariance / prod(f))
  list(difference = 100 * (f[2] - f[1] + c(0, -margin(f[2] - lower[2], upper[1] - f[1]), margin(upper[2] - f[2], f[1] - lower[1]))),
       ratio = f[2] / f[1] * exp(c(0, -z, z) * spread))
}
fits <- function(data) lapply(groups, function(g) survfit(Surv(entry, exit, revised) ~ 1, data[data$design == g, ], conf.type = "log-log"))
unadjusted <- function(data, years) lapply(days(years), function(t) {
  at <- lapply(fits(data), summary, times = t)
  s <- sapply(at, `[[`, "surv"); se <- sapply(at, `[[`, "std.err")
  chisq <- diff(log(-log(s)))^2 / sum(se^2 / (s * log(s))^2)
  c(contrast(s, se), list(chisq = chisq, p = pchisq(chisq, 1, lower.tail = FALSE)))
})

# Survival of each group with the case mix of all at each time, given how much each procedure weighs
standardised <- function(data, covariates, times, weight) {
  data$w <- weight
  fit <- do.call(coxph, list(reformulate(c(covariates, "strata(design)"), "Surv(entry, exit, revised)"), data = data, weights = data$w, control = exact))
  hazard <- basehaz(fit, centered = FALSE)
  theta <- exp(as.vector(model.matrix(fit, data) %*% coef(fit)))
  as.vector(sapply(groups, function(g) {
    own <- hazard[hazard$strata == g, ]
    cumulative <- c(0, own$hazard)[findInterval(times, own$time) + 1]
    colSums(weight * exp(-outer(theta, cumulative))) / sum(weight)
  }))
}
adjusted <- function(data, covariates, years, withErrors) {
  times <- days(years); n <- length(times)
  s <- matrix(standardised(data, covariates, times, rep(1, nrow(data))), n)
  if (!withErrors) return(lapply(seq_len(n), function(k) list(difference = 100 * (s[k, 1] - s[k, 2]), ratio = (1 - s[k, 2]) / (1 - s[k, 1]))))
  step <- 1e-3
  influence <- t(sapply(unique(data$patient_id), function(p) {
    moved <- function(by) standardised(data, covariates, times, ifelse(data$patient_id == p, 1 + by, 1))
    (moved(step) - moved(-step)) / (2 * step)
  }))
  covariance <- crossprod(influence)
  lapply(seq_len(n), function(k) contrast(s[k, ], sqrt(diag(covariance))[c(k, n + k)], covariance[k, n + k]))
}

whole <- cohortOf(10); years <- c(1, 2, 5, 7, 10)
means <- sapply(fits(whole), function(fit) survival:::survmean(fit, rmean = days(10))$matrix[c("rmean", "se(rmean)")])
se <- sqrt(sum(means[2, ]^2)); gain <- means[1, 2] - means[1, 1]
conditional <- do.call(c, lapply(groups, function(g) do.call(c, lapply(seq_along(years), function(k) lapply(years[years > years[k]], function(until) {
  rest <- whole[whole$design == g & whole$exit > days(years[k]), ]
  rest$entry <- pmax(rest$entry, days(years[k]))
  s <- summary(survfit(Surv(entry, exit, revised) ~ 1, rest, conf.type = "log-log"), times = days(until))
  list(group = g, fromYears = years[k], years = until, events = s$n.event, percent = 100 * (1 - c(s$surv, s$upper, s$lower)))
})))))
hazards <- lapply(fits(whole), function(fit) lapply(smoothed(fit, 365, days(10), 101)[c("hazard", "lower", "upper")], `*`, 36525))

small <- cohortOf(8, 2005, 2006)
cohort <- list(joint = "shoulder", role = "glenoid", classes = I("anatomic_total"))
asked <- list(groups = groups, reference = groups[1], adjust = c("age", "sex"))
record("summary(survfit); survival:::survmean; coxph(control = coxph.control(eps = 1e-14, iter.max = 100)); basehaz", list(
  list(name = "pegged and keeled to ten years", version = registry$version,
       question = c(asked, list(cohort = cohort, horizonYears = 10, atYears = years)),
       expected = list(unadjusted = unadjusted(whole, years), adjusted = adjusted(whole, c("age", "sex"), years, FALSE),
                       means = list(mean = means[1, ], error = means[2, ], difference = c(gain, gain - z * se, gain + z * se), p = 2 * pnorm(-abs(gain / se))),
                       conditional = conditional, hazards = hazards)),
  list(name = "pegged and keeled of two years, with limits", version = registry$version,
       question = c(asked, list(cohort = c(cohort, list(firstYear = 2005, lastYear = 2006)), horizonYears = 8, atYears = c(3, 7))),
       expected = list(procedures = nrow(small), unadjusted = unadjusted(small, c(3, 7)), adjusted = adjusted(small, c("age", "sex"), c(3, 7), TRUE)))
))
