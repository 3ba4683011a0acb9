# Chance that a CUSUM goes above a threshold within a period, exactly: where every step moves the chart by a whole number of units, it is a Markov chain.
source("helpers/record.R")

# up: units added by one event; steps: number of steps; density: probability of 0, 1, 2 ... events in a step; each step takes one unit off
above <- function(h, up, steps, density) {
  state <- c(1, numeric(h)) # of 0 ... h units, without a signal so far
  move <- matrix(0, h + 1, h + 1)
  for (x in 0:h) for (n in seq_along(density) - 1) {
    to <- max(0, x + n * up - 1)
    if (to <= h) move[x + 1, to + 1] <- move[x + 1, to + 1] + density[n + 1]
  }
  for (t in seq_len(steps)) state <- state %*% move
  1 - sum(state)
}
table <- function(name, up, steps, unit, usual, doubled, thresholds, more) c(list(name = name, steps = steps, unit = unit, thresholds = thresholds,
  falseAlarm = sapply(thresholds, above, up, steps, usual), detection = sapply(thresholds, above, up, steps, doubled)), more)

# Ratio 2. Months with the same expected number, ln(2)/20: one revision adds 20 units of ln(2)/20
e <- log(2) / 20
hazard <- table("months", 20, 300, e, dpois(0:15, e), dpois(0:15, 2 * e), 70:130, list(expected = e))
# Procedures with a risk of 2^(1/20) - 1: without revision the chart falls by ln(2)/20
p <- 2^(1 / 20) - 1
outcome <- table("procedures", 20, 600, log(2) / 20, c(1 - p, p), c(1 - p, 2 * p) / (1 + p), 105:145, list(probability = p))

record("matrix products", list(hazard, outcome))
