# Interval-censored times by survival's Turnbull estimate and by slow code of our own: EM over the intervals between all times, and limits from a
# numerical second derivative of the log likelihood in the masses above 0.
source("helpers/record.R")

slow <- function(left, right, count) {
  times <- sort(unique(c(left, right[is.finite(right)])))
  from <- c(times, Inf)[-(length(times) + 1)]; to <- c(times[-1], Inf)
  covers <- outer(left, from, "<=") & outer(right, to, ">=")
  p <- rep(1 / length(from), length(from))
  for (i in 1:60000) p <- p * colSums(count * covers / drop(covers %*% p)) / sum(count)
  list(from = from, to = to, p = p, covers = covers)
}
limits <- function(fit, count, cluster) {
  held <- which(fit$p > 1e-7); m <- length(held) - 1
  cell <- function(q) { p <- 0 * fit$p; p[held] <- c(q, 1 - sum(q)); log(drop(fit$covers %*% p)) }
  q <- fit$p[held][1:m]
  score <- sapply(1:m, function(j) { h <- 1e-5; e <- replace(0 * q, j, h); (cell(q - 2 * e) - 8 * cell(q - e) + 8 * cell(q + e) - cell(q + 2 * e)) / (12 * h) })
  bread <- solve(crossprod(score * count, score))
  meat <- crossprod(rowsum(score[rep(seq_along(count), count), , drop = FALSE], cluster))
  v <- bread %*% meat %*% bread
  share <- cumsum(q); var <- sapply(1:m, function(k) sum(v[1:k, 1:k])); s <- 1 - share
  e <- qnorm(0.975) * sqrt(var) / (s * abs(log(s)))
  list(to = fit$to[held][1:m], share = share, lower = 1 - s^exp(-e), upper = 1 - s^exp(e))
}
case <- function(name, left, right, count, cluster = seq_len(sum(count))) {
  fit <- slow(left, right, count)
  l <- rep(left, count); r <- rep(right, count)
  np <- survfit(Surv(ifelse(l == 0, NA, l), ifelse(is.finite(r), r, NA), type = "interval2") ~ 1)
  list(name = name, input = list(left = left, right = ifelse(is.finite(right), right, -1), count = count, cluster = cluster),
       expected = c(limits(fit, count, cluster), list(survfit = list(time = np$time, share = round(1 - np$surv, 5)))))
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
