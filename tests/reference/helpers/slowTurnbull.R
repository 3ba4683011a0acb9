# Turnbull's estimate by slow code: EM over the intervals between all times, and limits on the log(-log) scale from numerical scores of the masses above 0,
# summed by cluster. A row per distinct (left, right], `count` of them; `cluster` of each procedure, row after row.
slowTurnbull <- function(left, right, count) {
  times <- sort(unique(c(left, right[is.finite(right)])))
  from <- c(times, Inf)[-(length(times) + 1)]; to <- c(times[-1], Inf)
  covers <- outer(left, from, "<=") & outer(right, to, ">=")
  p <- rep(1 / length(from), length(from))
  for (i in 1:60000) p <- p * colSums(count * covers / drop(covers %*% p)) / sum(count)
  list(from = from, to = to, p = p, covers = covers)
}
slowLimits <- function(fit, count, cluster) {
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
