# Tails and quantiles that p-values and limits rest on, far into the tails.
source("helpers/record.R")

z <- c(0, 1e-8, 0.1, 0.5, 1, 1.5, 1.9, 1.96, 2, 2.5, 3, 5, 8, 12, 20, 30, 37)
p <- c(1e-300, 1e-100, 1e-20, 1e-8, 1e-4, 0.005, 0.025, 0.1, 0.3, 0.49, 0.7, 0.975, 0.9999)
chi <- expand.grid(x = c(1e-6, 0.01, 0.5, 1, 3.841, 10, 50, 200, 1000), df = c(1, 2, 3, 7, 18, 60))
gammas <- expand.grid(shape = c(0.5, 1, 1.5, 3, 10, 42, 250, 5000, 1e5), p = c(1e-12, 0.001, 0.025, 0.5, 0.975, 0.999))
shares <- data.frame(count = c(0, 1, 5, 12, 40, 127, 3, 0, 20, 7), drawn = c(10, 10, 5, 60, 1581, 1581, 3, 8, 20, 146),
                     marked = c(0, 3, 30, 100, 3000, 3946, 3, 40, 20, 65), total = c(50, 40, 37, 4000, 38747, 38747, 9, 1e6, 21, 2028))
observed <- c(0, 1, 2, 5, 9, 10, 20, 100, 1234)
garwood <- function(o, level) unname(poisson.test(o, conf.level = level)$conf.int)

cases <- list(
  list(name = "normal upper tail", input = list(z = z), expected = list(tail = pnorm(z, lower.tail = FALSE))),
  list(name = "normal quantile", input = list(p = p), expected = list(z = qnorm(p))),
  list(name = "chi-square upper tail", input = chi, expected = list(tail = pchisq(chi$x, chi$df, lower.tail = FALSE))),
  list(name = "gamma quantile", input = gammas, expected = list(lower = qgamma(gammas$p, gammas$shape), upper = qgamma(gammas$p, gammas$shape, lower.tail = FALSE))),
  list(name = "exact Poisson limits", input = list(observed = observed), expected = list(
    lower95 = sapply(observed, function(o) garwood(o, 0.95)[1]), upper95 = sapply(observed, function(o) garwood(o, 0.95)[2]),
    lower998 = sapply(observed, function(o) garwood(o, 0.998)[1]), upper998 = sapply(observed, function(o) garwood(o, 0.998)[2]))),
  list(name = "hypergeometric tails", input = shares, expected = with(shares, list(
    lower = phyper(count, marked, total - marked, drawn), higher = phyper(count - 1, marked, total - marked, drawn, lower.tail = FALSE))))
)
record("pnorm, qnorm, pchisq, qgamma, poisson.test, phyper", cases, packages = "stats")
