# Cumulative incidence of each cause, its variance and limits, by etm (variance of Aalen & Johansen's estimator with Greenwood's
# covariances), at up to 25 of the times.
source("helpers/record.R")
suppressMessages(library(etm))

incidence <- function(data, entry = FALSE, causes = 1:2) {
  response <- if (entry) Surv(entry, exit, event != 0) ~ 1 else Surv(exit, event != 0) ~ 1
  fit <- etmCIF(response, data = data, etype = event, failcode = causes)
  table <- summary(fit, ci.fun = "cloglog")[[1]]
  lapply(seq_along(causes), function(k) {
    rows <- table[[k]][unique(round(seq(1, nrow(table[[k]]), length.out = 25))), ]
    list(cause = causes[k], time = rows$time, percent = 100 * rows$P, variance = rows$var,
         lower = 100 * rows$lower, upper = 100 * rows$upper, atRisk = rows$n.risk)
  })
}

fourteen <- data.frame(exit = c(1, 2, 3, 4, 4, 4, 5, 5, 6, 8, 8, 9, 10, 12), event = c(1, 2, 0, 1, 0, 0, 2, 1, 0, 0, 2, 0, 1, 0))

mgus <- with(mgus2, data.frame(exit = ifelse(pstat == 1, ptime, futime), event = ifelse(pstat == 1, 1, 2 * death)))
byAge <- with(mgus2, data.frame(entry = 12 * age, exit = 12 * age + ifelse(pstat == 1, ptime, futime), event = ifelse(pstat == 1, 1, 2 * death)))
byAge <- byAge[byAge$exit > byAge$entry & byAge$entry >= 12 * 50, ]

# Three causes on few distinct times, so that causes tie with each other and with censorings
set.seed(20)
ties <- data.frame(exit = sample(0:9, 400, replace = TRUE), event = sample(0:3, 400, replace = TRUE, prob = c(6, 2, 1, 1)))
fromOne <- transform(ties, exit = exit + 1) # etm leaves events at time 0 out; a shift by one keeps them

cases <- list(
  list(name = "fourteen subjects", input = fourteen, expected = incidence(fourteen)),
  list(name = "mgus2: progression, death", input = mgus[mgus$exit > 0, ], expected = incidence(mgus[mgus$exit > 0, ])),
  list(name = "mgus2 on the scale of age, delayed entry", input = byAge, expected = incidence(byAge, entry = TRUE)),
  list(name = "three causes, many ties", input = fromOne, expected = incidence(fromOne, causes = 1:3))
)
record('summary(etmCIF(...), ci.fun = "cloglog")', cases, c("survival", "etm"))
