# Funnel limits and overdispersion by the formulas of Spiegelhalter 2005, Stat Med 24:1185, appendix A, with R's own Poisson distribution and quantiles.
source("helpers/record.R")

interpolated <- function(p, e) {
  r <- qpois(p, e) # smallest count with Pr(R <= r) >= p
  max(0, r - (ppois(r, e) - p) / dpois(r, e))
}
limits <- expand.grid(expected = c(0.05, 0.4, 1, 3.7, 5, 20, 63.2, 410, 5000), level = c(0.95, 0.998))
limits$lower <- mapply(function(e, l) interpolated((1 - l) / 2, e) / e, limits$expected, limits$level)
limits$upper <- mapply(function(e, l) interpolated(1 - (1 - l) / 2, e) / e, limits$expected, limits$level)

spread <- function(name, o, e) {
  z <- 2 * (sqrt(o) - sqrt(e)); q <- quantile(z, c(0.1, 0.9), type = 7)
  drawn <- pmin(pmax(z, q[1]), q[2]); n <- length(o); phi <- mean(drawn^2); w <- 4 * e
  tau2 <- if (phi > (n - 1) / n) (n * phi - (n - 1)) / (sum(w) - sum(w^2) / sum(w)) else 0
  half <- function(l, s) qnorm(1 - (1 - l) / 2) * s
  at <- lapply(c(0.95, 0.998), function(l) {
    a <- half(l, sqrt(1 / w + tau2)); m <- half(l, sqrt(max(1, phi) / w))
    list(level = l, additive = data.frame(lower = pmax(0, 1 - a)^2, upper = (1 + a)^2), multiplicative = data.frame(lower = pmax(0, 1 - m)^2, upper = (1 + m)^2))
  })
  list(name = name, observed = o, expected = e, raw = mean(z^2), factor = phi, present = phi > (n - 1) / n, betweenVariance = tau2, limits = at)
}

cases <- list(
  list(name = "limits", limits = limits),
  spread("ten units", c(5, 12, 9, 30, 18, 22, 4, 40, 15, 10), c(8, 8, 10, 20, 20, 20, 6, 25, 18, 9)),
  spread("eleven units that chance explains", c(5, 8, 9, 21, 18, 22, 4, 25, 15, 10, 7), c(6, 8, 10, 20, 20, 20, 5, 25, 18, 9, 7)),
  spread("twelve units far apart", c(0, 1, 30, 2, 55, 9, 3, 80, 12, 5, 0, 21), c(4.2, 6, 12.5, 9, 20.1, 8, 2, 44, 30, 1.1, 0.3, 21))
)
record("qpois, ppois, dpois, quantile(type = 7)", cases)
