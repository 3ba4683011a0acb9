# Charts of one hospital and of one glenoid component over calendar time, from the CSV files of the sample extract without any of the workbench's
# own code: reference hazard, expected revisions day by day, the cumulative sum, and how often its like goes above a limit by chance.
source("helpers/record.R")
source("helpers/sampleProcedures.R")

last <- closing - 90
shoulders <- procedures[procedures$joint == "shoulder" & procedures$day <= last, ]
reach <- pmin(3653, last - shoulders$day)
shoulders$revised <- as.numeric(shoulders$event == 1 & shoulders$exit <= reach)
shoulders$exit <- pmin(shoulders$exit, reach)
shoulders <- shoulders[shoulders$entry == 0 | shoulders$entry < shoulders$exit, ]
shoulders$entry[shoulders$entry == 0] <- -1
shoulders$ageBand <- factor(findInterval(shoulders$age, c(55, 65, 75)))
shoulders$period <- factor(as.integer(substr(shoulders$procedure_date, 1, 4)) %/% 5)

quarterEnds <- function(first) {
  starts <- seq(as.Date("1990-01-01"), as.Date("2030-01-01"), by = "3 months")
  days <- as.integer(starts) - 1
  c(days[days >= first & days < last], last)
}

# Revisions expected on each day from `first` to `last`
dailyExpected <- function(own, fit, first) {
  hazard <- basehaz(fit, centered = FALSE)
  step <- diff(c(0, hazard$hazard))
  relative <- exp(predict(fit, own, type = "lp", reference = "zero"))
  expected <- numeric(last - first + 1)
  for (i in seq_len(nrow(own))) {
    at <- hazard$time > own$entry[i] & hazard$time <= own$exit[i] & step > 0
    on <- own$day[i] + hazard$time[at] - first + 1
    expected[on[on > 0]] <- expected[on[on > 0]] + relative[i] * step[at][on > 0]
  }
  expected
}

path <- function(observed, expected, restart) {
  value <- numeric(length(observed))
  x <- 0
  for (t in seq_along(observed)) {
    if (t %in% restart) x <- 0
    x <- max(0, x + observed[t] * log(2) - expected[t])
    value[t] <- x
  }
  value
}

# Shares of simulated five years, in which revisions come as in the busiest five of the chart, that go above each limit
shares <- function(expected, times, histories, limits) {
  days <- 1826
  sums <- cumsum(c(0, expected))
  from <- which.max(sums[(days + 1):length(sums)] - sums[seq_len(length(sums) - days)])
  x <- highest <- numeric(histories)
  for (e in expected[from + seq_len(days) - 1]) {
    x <- pmax(0, x + rpois(histories, times * e) * log(2) - e)
    highest <- pmax(highest, x)
  }
  sapply(limits, function(h) mean(highest > h))
}

chart <- function(name, question, id, own, fit, reviews = character(0), simulate = FALSE) {
  first <- max(day(registry$opened), min(own$day))
  days <- first:last
  observed <- tabulate((own$day + own$exit)[own$revised == 1] - first + 1, length(days))
  expected <- dailyExpected(own, fit, first)
  looks <- quarterEnds(first)
  at <- looks - first + 1
  expectedChart <- list(
    firstDay = first, lastDay = last, procedures = nrow(own), day = looks,
    observed = cumsum(observed)[at], expected = cumsum(expected)[at], value = path(observed, expected, day(reviews) - first + 1)[at])
  if (simulate) {
    set.seed(4)
    limits <- seq(2, 8, 0.02)
    expectedChart$simulated <- list(histories = 20000, limits = limits, falseAlarm = shares(expected, 1, 20000, limits), detection = shares(expected, 2, 20000, limits))
  }
  list(name = name, input = list(version = registry$version, question = c(question, list(reviews = I(reviews))), id = id), expected = expectedChart)
}

hospital <- shoulders[shoulders$hospital_id == "H044", ]
all <- coxph(Surv(entry, exit, revised) ~ ageBand + sex + indication + class + period, data = shoulders, ties = "breslow", control = exact)

kind <- shoulders[!is.na(shoulders$design) & shoulders$design == "all_poly_fluted_peg", ]
model <- kind[kind$model == "G-FLU-02", ]
others <- coxph(Surv(entry, exit, revised) ~ ageBand + sex + indication + period, data = kind[kind$model != "G-FLU-02", ], ties = "breslow", control = exact)

component <- list(kind = "component", role = "glenoid", model = "G-FLU-02")
record("coxph(ties = \"breslow\"); basehaz(centered = FALSE); rpois", list(
  chart("a hospital against all", list(kind = "hospital"), "H044", hospital, all, simulate = TRUE),
  chart("the same, its review closed on two days", list(kind = "hospital"), "H044", hospital, all, c("2013-09-30", "2018-01-15")),
  chart("a glenoid component against others of its design class", component, "G-FLU-02", model, others, simulate = TRUE)))
