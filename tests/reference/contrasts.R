# Contrasts of two curves at one time, by plain code from the formulas on survfit's estimates; conditional percents by survfit itself.
source("helpers/record.R")
z <- qnorm(0.975)

at <- function(data, time) {
  s <- summary(survfit(Surv(exit, event) ~ 1, data, conf.type = "log-log"), times = time)
  list(s = s$surv, se = s$std.err, risk = 1 - s$surv, lower = 1 - s$upper, upper = 1 - s$lower)
}
contrast <- function(name, one, other, time) {
  a <- at(one, time); b <- at(other, time)
  difference <- a$risk - b$risk
  cloglog <- function(x) log(-log(x$s))
  variance <- function(x) x$se^2 / (x$s * log(x$s))^2
  chisq <- (cloglog(a) - cloglog(b))^2 / (variance(a) + variance(b))
  spread <- sqrt((a$se / a$risk)^2 + (b$se / b$risk)^2)
  list(name = name, one = one, other = other, time = time, expected = list(
    difference = 100 * difference,
    lower = 100 * (difference - sqrt((a$risk - a$lower)^2 + (b$upper - b$risk)^2)),
    upper = 100 * (difference + sqrt((a$upper - a$risk)^2 + (b$risk - b$lower)^2)),
    chisq = chisq, p = pchisq(chisq, 1, lower.tail = FALSE),
    ratio = a$risk / b$risk, ratioLower = exp(log(a$risk / b$risk) - z * spread), ratioUpper = exp(log(a$risk / b$risk) + z * spread)))
}
# Those who leave at the time of the condition are no longer there: (from, exit]
conditional <- function(name, data, from, time) {
  rest <- data[data$exit > from, ]
  s <- summary(survfit(Surv(rep(from, nrow(rest)), exit, event) ~ 1, rest, conf.type = "log-log"), times = time)
  list(name = name, input = data, from = from, time = time,
       expected = list(percent = 100 * (1 - s$surv), standardError = s$std.err, lower = 100 * (1 - s$upper), upper = 100 * (1 - s$lower), events = s$n.event))
}

# Freireich et al. 1963, Blood 21:699: weeks of remission
drug <- data.frame(exit = c(6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35),
                   event = c(1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0))
placebo <- data.frame(exit = c(1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23), event = 1)
recurrence <- function(arm) with(colon[colon$etype == 1 & colon$rx == arm, ], data.frame(exit = time, event = status))

cases <- list(
  contrast("placebo less drug, 10 weeks", placebo, drug, 10),
  contrast("colon cancer, observation less levamisole and fluorouracil, five years", recurrence("Obs"), recurrence("Lev+5FU"), 1826),
  contrast("colon cancer, observation less levamisole, two years", recurrence("Obs"), recurrence("Lev"), 730)
)
conditionals <- list(
  conditional("drug, 22 weeks given 10", drug, 10, 22),
  conditional("colon cancer, five years given one", recurrence("Obs"), 365, 1826),
  conditional("colon cancer, five years given the day of an event", recurrence("Lev"), 499, 1826)
)
arms <- lapply(c("Obs", "Lev", "Lev+5FU"), recurrence)
estimates <- lapply(arms, at, time = 1826)
values <- sapply(estimates, function(x) log(-log(x$s)))
spread <- diag(sapply(estimates, function(x) x$se^2 / (x$s * log(x$s))^2))
differences <- rbind(c(1, -1, 0), c(1, 0, -1))
chisq <- drop(t(differences %*% values) %*% solve(differences %*% spread %*% t(differences)) %*% (differences %*% values))
threeArms <- list(arms = arms, time = 1826, expected = list(chisq = chisq, p = pchisq(chisq, 2, lower.tail = FALSE)))
record('summary(survfit(Surv(exit, event) ~ 1, conf.type = "log-log"), times)', list(contrasts = cases, conditionals = conditionals, threeArms = threeArms))
