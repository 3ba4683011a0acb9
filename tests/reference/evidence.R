# Adjusted p-values by p.adjust; E-values, Schoenfeld's formula and exact Poisson power by plain code, the last on a fine grid.
source("helpers/record.R")

set.seed(3)
families <- list(c(.0001, .0004, .0019, .0095, .0201, .0278, .0298, .0344, .0459, .3240, .4262, .5719, .6528, .7590, 1), # Benjamini & Hochberg 1995
                 round(runif(40)^2, 4), c(0.2, NA, 0.01, 0.01, NA, 1), c(0.03))
eValue <- function(r) { r <- max(r, 1 / r); r + sqrt(r * (r - 1)) }
common <- function(hr) (1 - 0.5^sqrt(hr)) / (1 - 0.5^sqrt(1 / hr))
schoenfeld <- function(hr, share, power) (qnorm(0.975) + qnorm(power))^2 / (share * (1 - share) * log(hr)^2)

grid <- seq(0.001, 60, by = 0.001)
signal <- qpois(0.975, grid) + 1 # the least number of events with an upper tail of at most 0.025
fromThenOn <- function(ratio, power) grid[max(which(ppois(signal - 1, ratio * grid, lower.tail = FALSE) < power)) + 1]
seen <- function(expected, power) uniroot(function(r) ppois(qpois(0.975, expected), r * expected, lower.tail = FALSE) - power, c(1, 50), tol = 1e-12)$root

record("p.adjust(p, 'BH'); qnorm; ppois", list(
  list(name = "p.adjust", families = lapply(families, function(p) list(p = I(p), adjusted = I(p.adjust(p, "BH"))))),
  list(name = "E-values, common outcome", ratios = data.frame(hr = c(0.5, 0.8, 1.3, 2, 4), expected = sapply(common(c(0.5, 0.8, 1.3, 2, 4)), eValue))),
  list(name = "Schoenfeld", events = transform(expand.grid(hr = c(0.5, 1.5, 2), share = c(0.05, 0.1, 0.5), power = c(0.8, 0.9)), events = schoenfeld(hr, share, power))),
  list(name = "expected events from which on a ratio is seen", needed = transform(expand.grid(ratio = c(1.5, 2, 3), power = c(0.8, 0.9)), expected = mapply(fromThenOn, ratio, power))),
  list(name = "ratio seen with so many expected events", seen = transform(expand.grid(expected = c(0.5, 2, 5, 12.4, 40), power = c(0.8, 0.9)), ratio = mapply(seen, expected, power)))))
