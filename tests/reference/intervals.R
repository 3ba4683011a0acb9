# Interval-censored times by survival's Turnbull estimate and by slow code of our own.
source("helpers/record.R")
source("helpers/slowTurnbull.R")

case <- function(name, left, right, count, cluster = seq_len(sum(count))) {
  fit <- slowTurnbull(left, right, count)
  l <- rep(left, count); r <- rep(right, count)
  np <- survfit(Surv(ifelse(l == 0, NA, l), ifelse(is.finite(r), r, NA), type = "interval2") ~ 1)
  list(name = name, input = list(left = left, right = ifelse(is.finite(right), right, -1), count = count, cluster = cluster),
       expected = c(slowLimits(fit, count, cluster), list(survfit = list(time = np$time, share = round(1 - np$surv, 5)))))
}

# Breast cosmesis, months to retraction (Finkelstein & Wolfe 1985, Biometrics 41:933), radiotherapy alone; from memory, any data serve
alone <- rbind(c(45, Inf), c(25, 37), c(37, Inf), c(6, 10), c(46, Inf), c(0, 5), c(33, Inf), c(15, Inf), c(46, Inf), c(19, Inf), c(40, Inf), c(46, Inf), c(19, 35), c(18, Inf), c(46, Inf),
  c(17, 25), c(0, 8), c(46, Inf), c(32, Inf), c(34, Inf), c(26, 40), c(11, 15), c(11, 18), c(36, Inf), c(27, 34), c(24, Inf), c(7, 16), c(5, 12), c(14, Inf), c(38, Inf), c(17, Inf), c(37, Inf),
  c(22, Inf), c(37, 44), c(15, Inf), c(24, Inf), c(5, 11), c(35, Inf), c(22, Inf), c(36, 48), c(46, Inf), c(36, Inf), c(0, 7), c(46, Inf), c(37, Inf), c(46, Inf))
# Visits at 1, 2, 5 and 10 years, some missed, in pairs of shoulders
visits <- data.frame(left = c(0, 365, 731, 1826, 365, 0, 731, 1826, 3653, 365), right = c(365, 731, 1826, 3653, 1826, 731, Inf, Inf, Inf, 3653), count = c(12, 9, 14, 8, 5, 3, 40, 25, 11, 2))
set.seed(5); pairs <- sample(rep(1:100, length.out = sum(visits$count)))
record("survfit(Surv(type = 'interval2')); slow EM and numerical scores", list(
  case("breast cosmesis, radiotherapy alone", alone[, 1], alone[, 2], rep(1, nrow(alone))),
  with(visits, case("planned visits, each alone", left, right, count)),
  with(visits, case("planned visits, patients with several shoulders", left, right, count, pairs))
))
