# survfit: survival, Greenwood's standard error and limits on each scale; median follow-up with the status reversed.
source("helpers/record.R")

percent <- function(data, entry = FALSE) {
  data <- if (is.null(data$count)) data else expanded(data)
  response <- if (entry) with(data, Surv(entry, exit, event == 1)) else with(data, Surv(exit, event == 1))
  fits <- lapply(c("log-log", "log", "plain"), function(type) survfit(response ~ 1, data = data, conf.type = type))
  reversed <- if (entry) NULL else survfit(Surv(exit, event == 0) ~ 1, data = data)
  fit <- fits[[1]]
  list(time = fit$time, atRisk = fit$n.risk, events = fit$n.event, percent = 100 * (1 - fit$surv),
       stdErr = ifelse(fit$surv > 0, fit$surv * fit$std.err, NA),
       limits = lapply(fits, function(f) list(scale = f$conf.type, lower = 100 * (1 - f$upper), upper = 100 * (1 - f$lower))),
       medianFollowUp = if (entry) NA else unname(quantile(reversed, 0.5)$quantile))
}

status <- function(x) as.numeric(x)
freireich <- data.frame(exit = c(6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35),
                        event = c(1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0))
maintained <- with(aml[aml$x == "Maintained", ], data.frame(exit = time, event = status(status)))
lungs <- with(lung, data.frame(exit = time, event = status - 1))
ages <- with(lung, data.frame(entry = round(365.25 * age), exit = round(365.25 * age) + time, event = status - 1))
hearts <- with(heart, data.frame(entry = start, exit = stop, event = event))
mgus <- with(mgus2, data.frame(exit = ifelse(pstat == 1, ptime, futime), event = ifelse(pstat == 1, 1, 2 * death)))
monthly <- counted(with(colon[colon$etype == 1, ], data.frame(exit = months(time), event = status)))
dayZero <- data.frame(exit = c(0, 0, 0, 1, 2, 2, 5), event = c(1, 1, 0, 0, 1, 0, 1))

cases <- list(
  list(name = "6-MP arm (Freireich et al. 1963)", input = freireich, expected = percent(freireich)),
  list(name = "aml, maintained (Miller 1981)", input = maintained, expected = percent(maintained)),
  list(name = "lung", input = lungs, expected = percent(lungs)),
  list(name = "lung on the scale of age, delayed entry", input = ages, expected = percent(ages, entry = TRUE)),
  list(name = "heart, (start, stop]", input = hearts, expected = percent(hearts, entry = TRUE)),
  list(name = "mgus2, death competes", input = mgus, expected = percent(mgus)),
  list(name = "colon recurrence in months, counted cells", input = monthly, expected = percent(monthly)),
  list(name = "events at time 0, and none left at the end", input = dayZero, expected = percent(dayZero))
)
record('survfit(Surv(entry, exit, event == 1) ~ 1, conf.type = "log-log" | "log" | "plain"); quantile(survfit(Surv(exit, event == 0) ~ 1), 0.5)', cases)
