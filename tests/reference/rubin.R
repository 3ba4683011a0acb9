# Rubin's rules by mice: pool.scalar on given numbers, and pool on Cox fits to imputed data sets. Student's distribution by pt and qt.
source("helpers/record.R")
suppressMessages(library(mice))

scalar <- function(name, estimates, variances, completeDf) {
  pooled <- pool.scalar(estimates, variances, n = completeDf + 1, k = 1)
  infinite <- is.infinite(completeDf)
  list(name = name, kind = "scalar", input = c(list(estimates = estimates, variances = variances), if (!infinite) list(completeDf = completeDf)),
       expected = list(estimate = pooled$qbar, error = sqrt(pooled$t), within = pooled$ubar, between = pooled$b, df = pooled$df, fractionMissing = pooled$fmi,
                       lower = pooled$qbar - qt(0.975, pooled$df) * sqrt(pooled$t), p = 2 * pt(-abs(pooled$qbar / sqrt(pooled$t)), pooled$df)))
}

# Missing performance status filled in by made-up rules, which is all the same to the pooling
lungs <- with(lung[!is.na(lung$ph.ecog), ], data.frame(exit = time, event = status - 1, age, sex, ecog = ph.ecog))
sets <- lapply(1:6, function(k) transform(lungs, ecog = ifelse((seq_along(ecog) + k) %% 7 == 0, (seq_along(ecog) * k) %% 4, ecog)))
fits <- lapply(sets, function(d) coxph(Surv(exit, event) ~ age + sex + ecog, data = d, control = exact))
pooled <- summary(pool(as.mira(fits)), conf.int = TRUE)
details <- pool(as.mira(fits))$pooled

tails <- expand.grid(t = c(0, 0.1, 1, 2.5, 12, 80), df = c(0.7, 1, 2, 4.3, 9, 31.5, 200, 1e4))
quantiles <- expand.grid(p = c(0.5, 0.6, 0.9, 0.975, 0.9999), df = c(0.7, 1, 2, 4.3, 9, 31.5, 200, 1e4))
record("pool.scalar; summary(pool(as.mira(coxph fits)), conf.int = TRUE); pt(lower.tail = FALSE); qt", list(
  scalar("five imputations", c(0.41, 0.55, 0.38, 0.62, 0.47), c(0.031, 0.029, 0.034, 0.03, 0.032), Inf),
  scalar("five imputations, few events", c(0.41, 0.55, 0.38, 0.62, 0.47), c(0.031, 0.029, 0.034, 0.03, 0.032), 38),
  scalar("little is missing", c(1.02, 1.04, 1, 1.03, 1.01, 1.02, 1.05, 0.99, 1.02, 1.03), rep(0.04, 10), 500),
  scalar("two imputations far apart", c(-0.9, 0.3), c(0.05, 0.08), 20),
  list(name = "lung, six data sets", kind = "cox", input = list(exit = lungs$exit, event = lungs$event, age = lungs$age, sex = lungs$sex, ecog = lapply(sets, function(d) d$ecog)),
       expected = list(estimate = pooled$estimate, error = pooled$std.error, df = pooled$df, p = pooled$p.value, lower = pooled[["2.5 %"]], upper = pooled[["97.5 %"]], fractionMissing = details$fmi)),
  list(name = "Student's distribution", kind = "student", tails = transform(tails, p = pt(t, df, lower.tail = FALSE)), quantiles = transform(quantiles, t = qt(p, df)))
), c("survival", "mice"))
