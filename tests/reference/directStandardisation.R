# Directly standardised rates with the gamma limits of Fay & Feuer 1997, Stat Med 16:791, by the definition.
source("helpers/record.R")

case <- function(name, observed, time, weight, confidence = 0.95) {
  w <- weight / sum(weight) / time; a <- (1 - confidence) / 2
  y <- sum(w * observed); v <- sum(w^2 * observed); m <- max(w)
  list(name = name, confidence = confidence, strata = data.frame(label = as.character(seq_along(observed)), observed = observed, time = time, weight = weight),
       rate = y, lower = if (y == 0) 0 else qgamma(a, shape = y^2 / v, scale = v / y),
       upper = qgamma(1 - a, shape = (y + m)^2 / (v + m^2), scale = (v + m^2) / (y + m)))
}
births <- c(230061, 329449, 114920, 39487, 14208, 3052); cases <- c(107, 141, 60, 40, 39, 25)
standard <- c(319933, 931318, 786511, 488235, 237863, 61313)

record("qgamma", list(
  case("by mother's age", cases, births, standard), case("99.8 %", cases, births, standard, 0.998),
  case("few events", c(1, 0, 2), c(120.5, 80, 33.25), c(5, 3, 2)), case("none", c(0, 0), c(100, 40), c(1, 1)), case("one stratum", 7, 250, 1)
))
