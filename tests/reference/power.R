# Power and sample size by R's power.*.test; noncentral tails by R; what R has no function for by plain code and numerical integration.
source("helpers/record.R")

x <- expand.grid(x = c(0.1, 1, 4, 10, 40), df = c(1, 2, 5, 60), ncp = c(0.01, 1, 8, 50))
tTable <- expand.grid(t = c(-3, -0.5, 0.3, 1.98, 4, 9), df = c(3, 20, 148), ncp = c(-2, 0.5, 3, 7))
f <- expand.grid(x = c(0.2, 1, 3, 8), df1 = c(1, 2, 4), df2 = c(5, 57, 300), ncp = c(0.5, 4, 25))
beta <- expand.grid(a = c(0.5, 1, 3.5, 40), b = c(0.5, 2, 30), x = c(0.001, 0.1, 0.5, 0.9, 0.999))

proportions <- expand.grid(p = c(0.03, 0.1, 0.5), q = c(0.2, 0.65, 0.75), n = c(40, 100), alpha = c(0.05, 0.05 / 3))
means <- expand.grid(difference = c(3, 6.3, 10), sd = c(15, 18), n = c(25, 60), alpha = c(0.05, 0.01))
unequal <- function(d, sd, n, m, k, alpha) { df <- n + m - 2 - k; q <- qt(1 - alpha / 2, df); l <- d / sd / sqrt(1 / n + 1 / m)
  pt(q, df, l, lower.tail = FALSE) + pt(-q, df, l) }
adjusted <- data.frame(difference = c(5, 8), sd = 12, n = c(30, 50), m = c(60, 25), covariates = c(1, 2))
anova <- data.frame(groups = 3, between = c(20, 40), within = 200, n = c(20, 35))
anovaMeans <- function(between) c(-1, 0, 1) * sqrt(between) # their sample variance is `between`
three <- list(list(p = c(0.1, 0.2, 0.3), n = c(50, 60, 40)), list(p = c(0.05, 0.1, 0.12), n = c(200, 100, 100)))
chi <- function(p, n, alpha) { m <- weighted.mean(p, n); pchisq(qchisq(1 - alpha, length(p) - 1), length(p) - 1, sum(n * (p - m)^2) / (m * (1 - m)), lower.tail = FALSE) }

chance <- function(hazard, accrual, further, loss) integrate(function(entry) sapply(accrual + further - entry, function(t)
  integrate(function(u) hazard * exp(-(hazard + loss) * u), 0, t, rel.tol = 1e-12)$value), 0, accrual, rel.tol = 1e-12)$value / accrual
accruals <- expand.grid(hazard = c(0.005, 0.02, 0.1), accrual = c(2, 5), further = c(0, 3, 8), loss = c(0, 0.03))

record("pchisq, pf, pt with ncp; pbeta; power.prop.test, power.t.test(strict = TRUE), power.anova.test; integrate", packages = "stats", cases = list(
  list(name = "noncentral chi-square", input = x, expected = pchisq(x$x, x$df, x$ncp, lower.tail = FALSE)),
  list(name = "noncentral t", input = tTable, expected = pt(tTable$t, tTable$df, tTable$ncp, lower.tail = FALSE)),
  list(name = "noncentral F", input = f, expected = pf(f$x, f$df1, f$df2, f$ncp, lower.tail = FALSE)),
  list(name = "beta", input = beta, expected = list(lower = pbeta(beta$x, beta$a, beta$b), upper = pbeta(beta$x, beta$a, beta$b, lower.tail = FALSE))),
  list(name = "two proportions", input = proportions, expected = mapply(function(p, q, n, a) power.prop.test(n, p, q, a)$power, proportions$p, proportions$q, proportions$n, proportions$alpha)),
  list(name = "two means", input = means, expected = mapply(function(d, s, n, a) power.t.test(n, d, s, a, strict = TRUE)$power, means$difference, means$sd, means$n, means$alpha)),
  list(name = "two means, unequal arms, adjusted", input = adjusted, expected = mapply(unequal, adjusted$difference, adjusted$sd, adjusted$n, adjusted$m, adjusted$covariates, 0.05)),
  list(name = "three means", input = list(means = lapply(anova$between, anovaMeans), sd = sqrt(anova$within), n = anova$n),
       expected = mapply(function(g, b, w, n) power.anova.test(g, n, b, w)$power, anova$groups, anova$between, anova$within, anova$n)),
  list(name = "three proportions", input = three, expected = sapply(three, function(t) chi(t$p, t$n, 0.05))),
  list(name = "chance of an event", input = accruals, expected = mapply(chance, accruals$hazard, accruals$accrual, accruals$further, accruals$loss))))
