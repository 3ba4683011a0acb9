# Agreement of two readers by vcd::Kappa, and Pr(A > B) + Pr(A = B)/2 over all pairs.
source("helpers/record.R")
suppressMessages(library(vcd))
data(MSPatients)
kappa <- function(name, counts) {
  fit <- Kappa(counts, weights = "Fleiss-Cohen")
  list(name = name, kind = "kappa", input = list(counts = unname(unclass(counts))), expected = list(value = unname(fit$Weighted["value"]), error = unname(fit$Weighted["ASE"])))
}
higher <- function(name, a, b) {
  x <- rep(seq_along(a), a); y <- rep(seq_along(b), b)
  psi <- outer(x, y, ">") + outer(x, y, "==") / 2; theta <- mean(psi)
  error <- sqrt(var(rowMeans(psi)) / length(x) + var(colMeans(psi)) / length(y))
  e <- qnorm(0.975) * error / (theta * (1 - theta))
  list(name = name, kind = "higher", input = list(a = a, b = b), expected = list(value = theta, error = error, lower = plogis(qlogis(theta) - e), upper = plogis(qlogis(theta) + e),
       wilcoxon = unname(suppressWarnings(wilcox.test(x, y)$statistic) / (length(x) * length(y)))))
}
record("vcd::Kappa(weights = 'Fleiss-Cohen'); all pairs", list(
  kappa("multiple sclerosis, patients of Winnipeg read in two cities (Landis & Koch 1977)", MSPatients[, , 1]),
  kappa("the same, New Orleans", MSPatients[, , 2]),
  higher("radiolucency grades", c(40, 12, 5, 2, 1), c(60, 9, 2, 1, 0)),
  higher("a small group without ties at the top", c(0, 1, 3), c(4, 2, 0))
), c("vcd"))
