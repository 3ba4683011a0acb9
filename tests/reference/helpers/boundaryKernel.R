# Kernel-smoothed Nelson-Aalen increments by slow code that shares no formula with the program: the boundary kernel (1 + z)(a + b z) on
# [-1, q] has a and b solved from its moments 1 and 0 (Mueller & Wang 1994, Biometrics 50:61), and the increments come from survfit.
power <- function(k, q) (q^(k + 1) - (-1)^(k + 1)) / (k + 1) # integral of z^k over [-1, q]
kernel <- function(q) {
  moments <- rbind(c(power(0, q) + power(1, q), power(1, q) + power(2, q)), c(power(1, q) + power(2, q), power(2, q) + power(3, q)))
  ab <- solve(moments, c(1, 0))
  function(z) ifelse(z < -1 | z > q, 0, (1 + z) * (ab[1] + ab[2] * z))
}

smoothed <- function(fit, bandwidth, end, points) {
  keep <- fit$n.event > 0 & fit$time <= end
  t <- fit$time[keep]; d <- fit$n.event[keep]; n <- fit$n.risk[keep]
  grid <- seq(0, end, length.out = points)
  values <- sapply(grid, function(x) {
    w <- if (x < bandwidth) kernel(x / bandwidth)((x - t) / bandwidth)
         else if (x > end - bandwidth) kernel((end - x) / bandwidth)((t - x) / bandwidth)
         else kernel(1)((x - t) / bandwidth)
    c(sum(w * d / n) / bandwidth, sqrt(sum(w^2 * d / n^2)) / bandwidth)
  })
  factor <- exp(qnorm(0.975) * values[2, ] / values[1, ])
  list(time = grid, hazard = values[1, ], lower = values[1, ] / factor, upper = values[1, ] * factor)
}
