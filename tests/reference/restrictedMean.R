# Restricted mean survival by survfit's own summary, and beside it by plain code from the formula.
source("helpers/record.R")

byFormula <- function(fit, horizon) {
  curve <- function(u) { k <- findInterval(u, fit$time); c(1, fit$surv)[k + 1] }
  area <- function(from) {
    cuts <- sort(unique(c(from, fit$time[fit$time > from & fit$time < horizon], horizon)))
    sum(diff(cuts) * curve(head(cuts, -1)))
  }
  died <- which(fit$n.event > 0 & fit$time <= horizon & fit$n.event < fit$n.risk)
  terms <- sapply(died, function(j) area(fit$time[j])^2 * fit$n.event[j] / (fit$n.risk[j] * (fit$n.risk[j] - fit$n.event[j])))
  c(mean = area(0), se = sqrt(sum(unlist(terms))))
}

case <- function(name, input, horizon) {
  fit <- if (is.null(input$entry)) survfit(Surv(exit, event) ~ 1, input) else survfit(Surv(entry, exit, event) ~ 1, input)
  own <- byFormula(fit, horizon)
  theirs <- survival:::survmean(fit, rmean = horizon)$matrix[c("rmean", "se(rmean)")]
  stopifnot(all.equal(unname(own), unname(theirs), tolerance = 1e-12))
  list(name = name, input = input, horizon = horizon, mean = theirs[[1]], standardError = theirs[[2]])
}

# Freireich et al. 1963, Blood 21:699: weeks of remission
drug <- data.frame(exit = c(6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35),
                   event = c(1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0))
placebo <- data.frame(exit = c(1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23), event = 1)
trial <- pbc[!is.na(pbc$trt), ]
arm <- function(k) with(trial[trial$trt == k, ], data.frame(exit = time, event = as.numeric(status == 2)))
late <- with(trial, data.frame(entry = ifelse(id %% 3 == 0 & time > 200, 200, -1), exit = time, event = as.numeric(status == 2)))
daysZero <- data.frame(exit = c(0, 0, 1, 2, 2, 5, 9, 9), event = c(1, 0, 1, 1, 0, 0, 1, 0))

cases <- list(
  case("drug, 35 weeks", drug, 35), case("drug, 23 weeks", drug, 23), case("placebo, 23 weeks", placebo, 23), case("drug, between two events", drug, 14.5),
  case("pbc trial, arm 1, ten years", arm(1), 3652.5), case("pbc trial, arm 2, ten years", arm(2), 3652.5),
  case("pbc trial, every third entering late", late, 3000), case("events on day 0", daysZero, 7)
)
record("survival:::survmean(survfit(...), rmean = horizon)", cases)
