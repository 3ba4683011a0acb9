# How the groups' adjusted hazard ratios go with time on the sample extract, from its CSV files: the test of proportional hazards, the spline of
# plot.cox.zph, the best cuts by likelihood ratio, and the ratios between them with robust limits.
source("helpers/record.R")
source("helpers/sampleComparisons.R")
library(splines)

overTime <- function(comparison) {
  cohort <- cohortOf(comparison)
  others <- c(column[comparison$adjust], if (length(comparison$strata)) paste0("strata(", comparison$strata, ")"))
  for (v in setdiff(column[comparison$adjust], "ageTens")) cohort[[v]] <- relevel(factor(cohort[[v]]), names(which.max(table(cohort[[v]]))))
  width <- length(comparison$groups) - 1
  formula <- function(terms) as.formula(paste("Surv(entry, exit, revised) ~", paste(c(terms, others), collapse = " + ")))
  fit <- suppressWarnings(coxph(formula("group"), data = cohort, control = exact))
  robust <- suppressWarnings(coxph(formula("group"), data = cohort, control = exact, cluster = cluster))
  ratios <- function(model, at) exp(unname(coef(model)[at] + outer(sqrt(diag(vcov(model)))[at], c(0, -1, 1) * qnorm(0.975))))
  test <- function(z, term) list(chisq = unname(z[term, "chisq"]), df = unname(z[term, "df"]), p = unname(z[term, "p"]))

  # The spline on 1 − S of all, its inner knots at the tertiles of events
  z <- cox.zph(fit, transform = "km", terms = FALSE)
  km <- survfit(Surv(entry, exit, revised) ~ 1, data = cohort, timefix = FALSE)
  g <- function(t) 1 - c(1, km$surv)[findInterval(t, km$time, left.open = TRUE) + 1]
  basis <- function(x) ns(x, knots = quantile(z$x, c(1, 2) / 3), Boundary.knots = range(z$x), intercept = TRUE)
  days <- floor(c(0.5, 1, 2, 3, 5, 6.5) * 365.25 + 0.5)
  x <- basis(g(z$time))
  new <- basis(g(days))
  smooth <- lapply(seq_len(width), function(j) {
    error <- sqrt(z$var[j, j] * rowSums((new %*% solve(crossprod(x))) * new))
    exp(as.vector(new %*% qr.coef(qr(x), z$y[, j])) + outer(error, c(0, -1, 1) * qnorm(0.975)))
  })

  # Likelihood with ratios of their own between the cuts. Every tenth candidate first, then all around the best of these
  piecewise <- function(cuts, control, robust = FALSE) {
    pieces <- if (length(cuts)) survSplit(Surv(entry, exit, revised) ~ ., data = cohort, cut = cuts, episode = "piece", start = "entry") else transform(cohort, piece = 1)
    own <- paste0("x", seq_len(length(cuts) + 1))
    for (k in seq_along(own)) pieces[[own[k]]] <- sapply(comparison$groups[-1], function(d) as.numeric(pieces$group == d & pieces$piece == k))
    suppressWarnings(if (robust) coxph(formula(own), data = pieces, control = control, cluster = cluster)
                     else coxph(formula(own), data = pieces, control = control, model = TRUE))
  }
  quick <- coxph.control(eps = 1e-9)
  events <- cohort$exit[cohort$revised == 1]
  cuts <- c(); tried <- list()
  while (length(cuts) < 2) {
    enough <- function(t) all(table(cut(events, c(-Inf, sort(c(cuts, t)), Inf))) >= 10)
    candidates <- Filter(enough, setdiff(sort(unique(events)), cuts))
    # Where a period is without revisions of a group some fits overflow
    likelihood <- function(places) vapply(places, function(k) tryCatch(piecewise(sort(c(cuts, candidates[k])), quick)$loglik[2], error = function(e) -Inf), 0)
    coarse <- seq(1, length(candidates), by = 10)
    found <- coarse[order(likelihood(coarse), decreasing = TRUE)[1:2]]
    near <- unique(pmin(pmax(c(outer(-9:9, found, `+`)), 1), length(candidates)))
    best <- candidates[near[which.max(likelihood(near))]]
    chisq <- 2 * (piecewise(sort(c(cuts, best)), exact)$loglik[2] - piecewise(cuts, exact)$loglik[2])
    needed <- 0.05 / (2^length(cuts) * length(candidates))
    p <- pchisq(chisq, width, lower.tail = FALSE)
    tried <- c(tried, list(list(day = best, chisq = chisq, df = width, p = p, candidates = length(candidates), needed = needed, accepted = p < needed)))
    if (p >= needed) break
    cuts <- sort(c(cuts, best))
  }
  between <- piecewise(cuts, exact, robust = TRUE)
  own <- cox.zph(piecewise(cuts, exact), transform = "km")$table
  list(name = comparison$name, input = inputOf(comparison), days = days, expected = list(
    test = test(cox.zph(fit, transform = "km")$table, "group"), single = ratios(robust, seq_len(width)), smooth = smooth,
    cuts = tried, periods = ratios(between, seq_len(width * (length(cuts) + 1))),
    within = lapply(paste0("x", seq_len(length(cuts) + 1)), function(term) test(own, term))))
}

record("cox.zph(transform = \"km\"); ns, qr.coef; coxph(control = coxph.control(eps = 1e-14, iter.max = 100), cluster) on survSplit", lapply(comparisons, overTime))
