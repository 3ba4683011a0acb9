# Maximum likelihood of a negative binomial distribution with mean rate * e: shape and rate of the gamma distribution behind it.
suppressMessages(library(MASS))

gammaFit <- function(o, e) {
  fit <- suppressWarnings(glm.nb(o ~ offset(log(e)), control = glm.control(epsilon = 1e-14, maxit = 200), init.theta = 1))
  # glm.nb stops early; the roots of its score equations have all digits
  meanAt <- function(nu) uniroot(function(m) sum((o - m * e) / (1 + m * e / nu)), c(1e-6, 100), tol = 1e-15)$root
  score <- function(nu) { m <- meanAt(nu) * e; sum(digamma(nu + o) - digamma(nu) + log(nu / (nu + m)) + 1 - (nu + o) / (nu + m)) }
  nu <- uniroot(score, fit$theta * c(0.9, 1.1), tol = 1e-14)$root
  stopifnot(abs(nu / fit$theta - 1) < 1e-4)
  list(shape = nu, rate = nu / meanAt(nu))
}
