# Covariates that are not recorded for everyone, on the early years of the sample extract, from its CSV files: counts, the complete-case ratio by
# coxph, and the ratio by chained equations with mice, many times, so that it is near what any correct program would reach.
source("helpers/record.R")
source("helpers/sampleComparisons.R")
suppressMessages(library(mice))

comparison <- modifyList(comparisons[[1]], list(adjust = c("age", "sex", "asa", "bmi")))
cohort <- cohortOf(comparison)
cohort <- cohort[cohort$year <= 2012, ]
formula <- Surv(entry, exit, revised) ~ group + ageBand + sex + asa + bmiBand
complete <- suppressWarnings(coxph(formula, data = cohort, cluster = cluster, control = exact)) # one level has no revisions
ratio <- exp(unname(coef(complete)[1] + c(0, -1, 1) * qnorm(0.975) * sqrt(vcov(complete)[1, 1])))

km <- function(event) survfit(Surv(cohort$entry, cohort$exit, event) ~ 1, timefix = FALSE)
hazard <- function(event) {
  fit <- km(event)
  upTo <- c(0, cumsum(fit$n.event / fit$n.risk))
  at <- function(t) upTo[findInterval(t, fit$time) + 1]
  at(cohort$exit) - at(cohort$entry)
}
data <- with(cohort, data.frame(group, ageTens, ageBand, sex, indication = factor(indication), asa = factor(asa, ordered = TRUE), bmi = factor(bmiBand, ordered = TRUE),
                                revised, died = as.numeric(event > 1), ofRevision = hazard(revised), ofDeath = hazard(as.numeric(event > 1))))
m <- 60
imputed <- suppressWarnings(mice(data, m = m, maxit = 5, seed = 5, printFlag = FALSE, method = ifelse(colSums(is.na(data)) > 0, "polr", "")))
stopifnot(!anyNA(mice::complete(imputed, 1)))
fits <- lapply(seq_len(m), function(k) {
  filled <- mice::complete(imputed, k)
  rows <- transform(cohort, asa = factor(filled$asa, ordered = FALSE), bmiBand = factor(filled$bmi, ordered = FALSE))
  fit <- coxph(formula, data = rows, cluster = cluster, control = exact)
  c(coef(fit)[1], vcov(fit)[1, 1])
})
estimate <- sapply(fits, `[`, 1)
total <- mean(sapply(fits, `[`, 2)) + (1 + 1 / m) * var(estimate)

missing <- function(v) I(c(unname(tapply(is.na(cohort[[v]]), cohort$group, sum))))
whole <- complete.cases(cohort[c("ageBand", "sex", "asa", "bmiBand")])
input <- inputOf(comparison)
input$question$cohort$lastYear <- 2012
record("coxph(control = coxph.control(eps = 1e-14, iter.max = 100), cluster); mice(method = \"polr\", m = 60, maxit = 5)", list(list(
  name = "pegged against keeled until 2012, adjusted for what is often not recorded", input = input,
  expected = list(procedures = I(c(unname(table(cohort$group)))), complete = I(c(unname(table(cohort$group[whole])))), missing = list(asa = missing("asa"), bmi = missing("bmiBand")),
                  completeCase = list(procedures = sum(whole), events = sum(cohort$revised[whole]), ratio = ratio),
                  imputed = list(log = signif(mean(estimate), 3), error = signif(sqrt(total), 3), between = signif(sd(estimate), 2), times = m)))), c("survival", "mice"))
