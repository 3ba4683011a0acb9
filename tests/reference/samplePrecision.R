# What the volume of each group could show, on the sample extract, from its CSV files: revisions to expect at the hazard of the reference over
# each group's own follow-up, the ratio seen with Schoenfeld's formula (Biometrics 1983, 39:499), and when a doubling would be.
source("helpers/record.R")
source("helpers/sampleProcedures.R")
suppressMessages(library(etm))
days <- function(years) floor(years * 365.25 + 0.5)

case <- function(name, groups, horizonYears, years) {
  data <- procedures[procedures$joint == "shoulder" & procedures$class == "anatomic_total" & procedures$design %in% groups, ]
  data <- upTo(data, days(horizonYears))
  reference <- data[data$design == groups[1], ]
  fit <- survfit(Surv(entry, exit, revised) ~ 1, reference)
  hazard <- data.frame(day = fit$time, d = fit$n.event, n = fit$n.risk)
  hazard <- hazard[hazard$d > 0, ]
  perYear <- function(rows) nrow(rows) / ((closing - min(rows$day) + 1) / 365.25)
  quantiles <- qnorm(0.8) + qnorm(0.975)

  # By Aalen and Johansen, the dead allowed for; a shift by one keeps events on day 0
  reference$from <- reference$entry + 1; reference$to <- reference$exit + 1
  incidence <- summary(etmCIF(Surv(from, to, event != 0) ~ 1, reference, etype = event, failcode = c(1, 3)))[[1]][[1]]
  area <- function(t) { # of the incidence from 0 to t
    at <- incidence$time - 1; before <- at < t
    sum(incidence$P[before] * (pmin(c(at[-1], Inf), t) - at)[before])
  }

  described <- lapply(groups[-1], function(g) {
    own <- data[data$design == g, ]
    expected <- cumsum(sapply(hazard$day, function(t) sum(own$entry < t & own$exit >= t)) * hazard$d / hazard$n)
    observed <- cumsum(hazard$d)
    all <- expected + observed; share <- expected / all
    ratio <- exp(quantiles / sqrt(all * share * (1 - share)))
    at <- findInterval(days(years), hazard$day)
    pace <- (perYear(own) + perYear(reference)) / 365.25
    p <- perYear(own) / (perYear(own) + perYear(reference))
    needed <- (quantiles / log(2))^2 / (p * (1 - p))
    after <- if (pace * area(days(horizonYears)) < needed) NA else uniroot(function(t) pace * area(t) - needed, c(1, days(horizonYears)), tol = 1e-9)$root
    list(group = g, procedures = nrow(own), perYear = perYear(own), atRisk = sapply(days(years), function(t) sum(own$entry < t & own$exit >= t)),
         expected = expected[at], referenceEvents = observed[at], detectable = ratio[at],
         from = if (any(ratio <= 2)) hazard$day[which(ratio <= 2)[1]] else NA, after = after)
  })
  list(name = name, version = registry$version,
       question = list(cohort = list(joint = "shoulder", role = "glenoid", classes = I("anatomic_total")), groups = groups, reference = groups[1],
                       horizonYears = horizonYears, atYears = years),
       expected = list(referencePerYear = perYear(reference), groups = described))
}
record("survfit; summary(etmCIF)", list(
  case("three designs to ten years", c("all_poly_pegged", "all_poly_keeled", "metal_backed"), 10, c(1, 2, 5, 7, 10)),
  case("against a small reference, to five years", c("metal_backed", "all_poly_pegged"), 5, c(1, 5))), c("survival", "etm"))
