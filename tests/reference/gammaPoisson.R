# Gamma-Poisson fits as negative binomial regressions on a constant, with the posterior of each unit.
source("helpers/record.R")
source("helpers/negativeBinomial.R")

case <- function(name, o, e) {
  fit <- gammaFit(o, e); nu <- fit$shape; rate <- fit$rate
  poisson <- sum(dpois(o, sum(o) / sum(e) * e, log = TRUE))
  chisq <- 2 * (sum(dnbinom(o, size = nu, mu = nu / rate * e, log = TRUE)) - poisson)
  list(name = name, observed = o, expected = e, shape = nu, rate = rate, chisq = chisq, p = pchisq(chisq, 1, lower.tail = FALSE) / 2,
       mean = (nu + o) / (rate + e), lower = qgamma(0.025, nu + o, rate + e), upper = qgamma(0.975, nu + o, rate + e),
       above = pgamma(1.5, nu + o, rate + e, lower.tail = FALSE))
}

# Clayton & Kaldor 1987, Biometrics 43:671, Table 1
lip <- list(o = c(9, 39, 11, 9, 15, 8, 26, 7, 6, 20, 13, 5, 3, 8, 17, 9, 2, 7, 9, 7, 16, 31, 11, 7, 19, 15, 7, 10, 16, 11, 5, 3, 7, 8, 11, 9, 11, 8, 6, 4, 10,
                  8, 2, 6, 19, 3, 2, 3, 28, 6, 1, 1, 1, 1, 0, 0),
            e = c(1.4, 8.7, 3, 2.5, 4.3, 2.4, 8.1, 2.3, 2, 6.6, 4.4, 1.8, 1.1, 3.3, 7.8, 4.6, 1.1, 4.2, 5.5, 4.4, 10.5, 22.7, 8.8, 5.6, 15.5, 12.5, 6, 9, 14.4,
                  10.2, 4.8, 2.9, 7, 8.5, 12.3, 10.1, 12.7, 9.4, 7.2, 5.3, 18.8, 15.8, 4.3, 14.6, 50.7, 8.2, 5.6, 9.3, 88.7, 19.6, 3.4, 3.6, 5.7, 7, 4.2, 1.8))
# Absences of children in a small town, one row each: MASS's own example of the distribution (Quine 1975)
absent <- with(aggregate(Days ~ Eth + Age + Lrn + Sex, quine, function(d) c(sum(d), length(d))), list(o = Days[, 1], e = Days[, 2] * mean(quine$Days)))
mild <- list(o = c(12, 9, 22, 4, 31, 14, 5, 6, 26, 22, 8, 30), e = c(10, 10.5, 12, 9, 18, 15, 11, 9, 16, 17, 13, 21))

record("MASS::glm.nb, then uniroot on its score; qgamma, pgamma", list(case("lip cancer", lip$o, lip$e), case("absences", absent$o, absent$e), case("mild", mild$o, mild$e)),
       packages = "MASS")
