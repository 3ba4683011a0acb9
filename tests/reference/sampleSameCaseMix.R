# The groups with one case mix on the sample extract, from its CSV files: as they are by survfit; standardised by a Cox model with a baseline per
# group, coxph and basehaz averaged over the cohort, errors from numerical derivatives by the weight of each cluster where these are few; weighted by
# the inverse probability of the group received, with balance, effective sizes, and survfit and coxph with robust errors.
source("helpers/record.R")
source("helpers/sampleComparisons.R")
source("helpers/multinomial.R")
z <- qnorm(0.975)
years <- c(1, 2, 5, 7)
days <- floor(years * 365.25 + 0.5)

limitsOf <- function(s, se) { margin <- z * se / (s * abs(log(s))); cbind(1 - s, 1 - s^exp(-margin), 1 - s^exp(margin)) }
# Of percents, the second less the first: limits recovered from those of the two and their correlation; ratio on the log scale
contrast <- function(s, se, covariance = 0) {
  f <- 1 - s; limits <- limitsOf(s, se); r <- covariance / prod(se)
  margin <- function(a, b) sqrt(a^2 + b^2 - 2 * r * a * b)
  spread <- sqrt(sum((se / f)^2) - 2 * covariance / prod(f))
  list(difference = 100 * (f[2] - f[1] + c(0, -margin(f[2] - limits[2, 2], limits[1, 3] - f[1]), margin(limits[2, 3] - f[2], f[1] - limits[1, 2]))),
       ratio = f[2] / f[1] * exp(c(0, -z, z) * spread))
}
# Per group after the first, time by time, from matrices times × groups
contrasts <- function(s, se, covariance = function(k, g) 0) unlist(lapply(seq_len(ncol(s))[-1], function(g)
  lapply(seq_along(days), function(k) contrast(s[k, c(1, g)], se[k, c(1, g)], covariance(k, g)))), recursive = FALSE)
curves <- function(fits, atRisk = NULL) {
  at <- lapply(fits, summary, times = days)
  s <- sapply(at, `[[`, "surv"); se <- sapply(at, `[[`, "std.err")
  list(atTimes = lapply(seq_along(days), function(k) lapply(seq_along(fits), function(g) list(
         atRisk = if (is.null(atRisk)) at[[g]]$n.risk[k] else atRisk[k, g], percent = 100 * c(limitsOf(s[k, g], se[k, g]))))),
       contrasts = contrasts(s, se))
}

withIndicators <- function(data, variables) {
  columns <- do.call(cbind, lapply(variables, function(v) if (is.numeric(data[[v]])) setNames(data[v], v) else {
    levels <- names(sort(table(data[[v]]), decreasing = TRUE))
    setNames(as.data.frame(sapply(levels[-1], function(l) as.numeric(data[[v]] == l))), paste0(v, make.names(levels[-1])))
  }))
  list(data = cbind(data[!names(data) %in% names(columns)], columns), names = names(columns))
}

oneCaseMix <- function(comparison) {
  cohort <- cohortOf(comparison)
  groups <- comparison$groups
  byGroup <- split(cohort, cohort$group)
  crude <- curves(lapply(byGroup, function(rows) survfit(Surv(entry, exit, revised) ~ 1, rows, conf.type = "log-log")))

  # Survival of each group with the case mix of all, times × groups, given how much each procedure weighs
  covariates <- column[comparison$adjust]
  formula <- as.formula(paste("Surv(entry, exit, revised) ~", paste(covariates, collapse = " + "), "+ strata(group", if (length(comparison$strata)) paste(",", comparison$strata), ")"))
  standardised <- function(weight) {
    cohort$w <- weight
    fit <- do.call(coxph, list(formula, data = cohort, weights = cohort$w, control = exact))
    hazard <- basehaz(fit, centered = FALSE)
    design <- model.matrix(as.formula(paste("~", paste(covariates, collapse = " + "))), cohort)[, -1, drop = FALSE]
    theta <- exp(as.vector(design %*% coef(fit)))
    stratum <- if (length(comparison$strata)) cohort[[comparison$strata]] else rep("", nrow(cohort))
    sapply(groups, function(g) Reduce(`+`, lapply(unique(stratum), function(s) {
      own <- hazard[hazard$strata == if (s == "") g else paste(g, s, sep = ", "), ]
      cumulative <- c(0, own$hazard)[findInterval(days, own$time) + 1]
      rows <- stratum == s
      colSums(weight[rows] * exp(-outer(theta[rows], cumulative)))
    })) / sum(weight))
  }
  s <- standardised(rep(1, nrow(cohort)))
  clusters <- unique(cohort$cluster)
  adjusted <- if (length(clusters) > 200) list(percent = 100 * (1 - unname(s))) else {
    step <- 1e-3
    influence <- t(sapply(clusters, function(c) {
      moved <- function(by) c(standardised(ifelse(cohort$cluster == c, 1 + by, 1)))
      (8 * (moved(step) - moved(-step)) - (moved(2 * step) - moved(-2 * step))) / (12 * step)
    }))
    covariance <- crossprod(influence); n <- length(days)
    se <- matrix(sqrt(diag(covariance)), n)
    list(percent = 100 * (1 - unname(s)),
         atTimes = lapply(seq_len(n), function(k) lapply(seq_along(groups), function(g) 100 * c(limitsOf(s[k, g], se[k, g])))),
         contrasts = contrasts(s, se, function(k, g) covariance[k, (g - 1) * n + k]))
  }

  # Weights balance what is stratified by, too
  x <- withIndicators(cohort, c(covariates, comparison$strata))
  p <- patterns(x$data, x$names, "group")
  probability <- shares(p$x, suppressWarnings(poissonMultinomial(p$x, p$counts))$coefficient, length(groups))[p$of, ]
  cohort$w <- as.vector(table(cohort$group) / nrow(cohort))[cohort$group] / probability[cbind(seq_len(nrow(cohort)), as.integer(cohort$group))]
  byGroup <- split(cohort, cohort$group)
  effective <- sapply(byGroup, function(rows) sapply(days, function(t) { w <- rows$w[rows$entry < t & rows$exit >= t]; sum(w)^2 / sum(w^2) }))
  weighted <- curves(lapply(byGroup, function(rows) survfit(Surv(entry, exit, revised) ~ 1, rows, weights = w, cluster = cluster, robust = TRUE, conf.type = "log-log")), effective)
  cox <- coxph(Surv(entry, exit, revised) ~ group, data = cohort, weights = w, cluster = cluster, robust = TRUE, ties = "breslow", control = exact)
  mean <- function(x, w) sapply(split(seq_along(x), cohort$group), function(i) sum(w[i] * x[i]) / sum(w[i]))
  sides <- function(x) {
    variance <- sapply(split(x, cohort$group), function(v) if (all(v %in% 0:1)) base::mean(v) * (1 - base::mean(v)) else var(v))
    pairs <- combn(length(groups), 2)
    lapply(list(before = rep(1, length(x)), after = cohort$w), function(w) {
      m <- mean(x, w)
      list(values = unname(m) * if (all(x %in% 0:1)) 100 else 1, largestDifference = max(abs(m[pairs[1, ]] - m[pairs[2, ]]) / sqrt((variance[pairs[1, ]] + variance[pairs[2, ]]) / 2)))
    })
  }
  balance <- do.call(c, unname(lapply(c(covariates, comparison$strata), function(v) if (is.numeric(cohort[[v]])) list(sides(cohort[[v]])) else
    lapply(sort(unique(as.character(cohort[[v]]))), function(l) sides(as.numeric(cohort[[v]] == l))))))
  list(name = comparison$name, input = modifyList(inputOf(comparison), list(question = list(atYears = years))), expected = list(
    crude = crude, standardised = adjusted,
    weighted = c(weighted, list(
      weights = lapply(unname(byGroup), function(rows) list(effectiveSize = sum(rows$w)^2 / sum(rows$w^2), largest = max(rows$w) / base::mean(rows$w), extremePercent = 100 * base::mean(rows$w > 10 * base::mean(rows$w)))),
      ratios = exp(unname(coef(cox) + outer(sqrt(diag(as.matrix(vcov(cox)))), c(0, -z, z)))), balance = balance))))
}

record("survfit(conf.type = \"log-log\", weights, cluster, robust = TRUE); coxph(control = coxph.control(eps = 1e-14, iter.max = 100)); basehaz(centered = FALSE)",
       lapply(comparisons, oneCaseMix))
