# Rates of components against all others of their kind: exact tests and limits, Benjamini & Hochberg's adjustment, shrunken ratios.
source("helpers/record.R")
source("helpers/negativeBinomial.R")

pairs <- data.frame(o1 = c(8, 0, 1, 12, 40, 3, 250, 7, 30, 3000), t1 = c(300, 120, 50.5, 400, 2000, 900, 9000, 80, 1000, 1e5),
                    o2 = c(40, 25, 10, 300, 1500, 60, 4000, 1, 30, 51000), t2 = c(4000, 2500, 800, 25000, 61000, 7000, 120000, 210.25, 1000, 1.9e6))
rates <- do.call(rbind, Map(function(o1, t1, o2, t2) {
  share <- t1 / (t1 + t2)
  exact <- unname(binom.test(o1, o1 + o2, share, alternative = "greater")$p.value)
  # R's own limits come from uniroot and qbeta to all digits
  limits <- unname(poisson.test(c(o1, o2), c(t1, t2))$conf.int)
  data.frame(exact = exact, midP = exact - dbinom(o1, o1 + o2, share) / 2, ratio = (o1 / t1) / (o2 / t2), lower = limits[1], upper = limits[2])
}, pairs$o1, pairs$t1, pairs$o2, pairs$t2))

counts <- data.frame(
  kind = rep(c("glenoid", "stem"), c(9, 8)),
  observed = c(30, 12, 9, 41, 6, 14, 20, 3, 9, 22, 8, 31, 12, 5, 48, 7, 2),
  exposure = c(610.5, 700, 480, 2400, 390, 820, 1150, 260, 610, 900, 700, 2600, 1100, 90, 1300, 690, 30)
)
screen <- function(name, test) {
  share <- with(counts, exposure / ave(exposure, kind, FUN = sum))
  all <- with(counts, ave(observed, kind, FUN = sum)); others <- all - counts$observed
  expected <- others * share / (1 - share)
  midP <- if (test == "conditional") pbinom(counts$observed - 1, all, share, lower.tail = FALSE) - dbinom(counts$observed, all, share) / 2
          else ppois(counts$observed - 1, expected, lower.tail = FALSE) - dpois(counts$observed, expected) / 2
  fit <- gammaFit(counts$observed, expected)
  list(name = name, test = test, counts = counts, expected = all * share, ratio = counts$observed / expected, midP = midP, adjusted = p.adjust(midP, "BH"),
       shrunkenLower = qgamma(0.025, fit$shape + counts$observed, fit$rate + expected),
       lower = if (test == "conditional") mapply(function(o1, t1, o2, t2) poisson.test(c(o1, o2), c(t1, t2))$conf.int[1], counts$observed, share, others, 1 - share)
               else mapply(function(o, e) poisson.test(o, e)$conf.int[1], counts$observed, expected))
}
record("binom.test, poisson.test, p.adjust(method = 'BH'), MASS::glm.nb", list(
  list(name = "rates", pairs = pairs, rates = rates), screen("seventeen components, conditional", "conditional"), screen("seventeen components, known rate", "poisson")
), packages = "MASS")
