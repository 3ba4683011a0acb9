# Meta-analysis of log ratios: by metafor and, written out slowly without it, by maximising the restricted likelihood and solving for the generalised Q.
source("helpers/record.R")
suppressMessages(library(metafor))

written <- function(y, v) {
  k <- length(y)
  mean_ <- function(t) sum(y / (v + t)) / sum(1 / (v + t))
  q <- function(t) sum((y - mean_(t))^2 / (v + t))
  restricted <- function(t) -0.5 * (sum(log(v + t)) + log(sum(1 / (v + t))) + q(t))
  top <- 10 * max(var(y), v)
  grid <- seq(0, sqrt(top), length.out = 400)^2
  near <- which.max(sapply(grid, restricted))
  reml <- optimize(restricted, c(grid[max(near - 1, 1)], grid[min(near + 1, 400)]), maximum = TRUE, tol = 1e-14)$maximum
  if (restricted(0) >= restricted(reml)) reml <- 0
  pm <- if (q(0) <= k - 1) 0 else uniroot(function(t) q(t) - (k - 1), c(0, 100 * top), tol = 1e-15)$root
  w <- 1 / v
  dl <- max(0, (q(0) - (k - 1)) / (sum(w) - sum(w^2) / sum(w)))
  list(reml = reml, pm = pm, dl = dl)
}

meta <- function(name, y, se) {
  v <- se^2
  k <- length(y)
  common <- rma(y, v, method = "FE")
  reml <- rma(y, v, method = "REML", test = "adhoc", control = list(threshold = 1e-15, maxiter = 10000))
  plain <- rma(y, v, method = "REML", control = list(threshold = 1e-15, maxiter = 10000))
  tau <- list(reml = reml$tau2, pm = rma(y, v, method = "PM", control = list(tol = 1e-15, maxiter = 10000))$tau2, dl = rma(y, v, method = "DL")$tau2)
  slow <- written(y, v)
  for (one in names(tau)) stopifnot(abs(tau[[one]] - slow[[one]]) < 1e-6 * max(tau[[one]], 1e-3))
  w <- 1 / (v + reml$tau2)
  prediction <- as.vector(reml$beta) + c(-1, 1) * qt(0.975, k - 2) * sqrt(reml$tau2 + reml$se^2)
  list(name = name, input = list(estimate = y, standardError = se), expected = list(
    common = c(as.vector(common$beta), common$se, common$ci.lb, common$ci.ub, common$pval),
    random = c(as.vector(reml$beta), reml$se, reml$ci.lb, reml$ci.ub, reml$pval), factor = sum(w * (y - as.vector(reml$beta))^2) / (k - 1),
    withoutFactor = c(as.vector(plain$beta), plain$se), prediction = prediction,
    heterogeneity = c(common$QE, common$QEp, max(0, 1 - (k - 1) / common$QE)), tauSquared = unlist(tau, use.names = FALSE)))
}

# Vaccine against tuberculosis, 13 trials (Colditz et al. 1994, JAMA 271:698), as metafor ships them
bcg <- escalc(measure = "RR", ai = tpos, bi = tneg, ci = cpos, di = cneg, data = dat.bcg)
set.seed(1)
record("rma with REML, PM, DL and FE; test adhoc", packages = "metafor", list(
  meta("thirteen trials of a vaccine", as.vector(bcg$yi), sqrt(as.vector(bcg$vi))),
  meta("five that agree better than chance", c(0.31, 0.29, 0.33, 0.30, 0.32), c(0.12, 0.2, 0.15, 0.3, 0.11)),
  meta("three", c(0.1, 0.7, -0.2), c(0.2, 0.25, 0.3)),
  meta("eight of very unequal size", round(rnorm(8, 0.4, 0.3), 3), c(0.05, 0.5, 0.4, 0.09, 0.9, 0.2, 0.3, 0.6))))
