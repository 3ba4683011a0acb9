# Kernel-smoothed Nelson-Aalen increments, with boundary kernels from their moments.
source("helpers/record.R")
source("helpers/boundaryKernel.R")

smooth <- function(name, data, bandwidth, end, points) {
  fit <- if (is.null(data$entry)) survfit(Surv(exit, event) ~ 1, data) else survfit(Surv(entry, exit, event) ~ 1, data)
  list(name = name, input = data, bandwidth = bandwidth, end = end, points = points,
       expected = smoothed(fit, bandwidth, end, points))
}

recurrence <- with(colon[colon$etype == 1, ], data.frame(exit = time, event = status))
cirrhosis <- with(pbc, data.frame(exit = time, event = as.numeric(status == 2)))
late <- with(pbc, data.frame(entry = ifelse(id %% 3 == 0 & time > 200, 200, -1), exit = time, event = as.numeric(status == 2)))
record("survfit increments, kernel by its moments", list(
  smooth("colon cancer, recurrence, half a year", recurrence, 183, 2500, 26),
  smooth("colon cancer, recurrence, ninety days", recurrence, 90, 1826, 40),
  smooth("pbc, death, one year", cirrhosis, 365, 3652, 21),
  smooth("pbc, every third entering late", late, 365, 3000, 21)))
