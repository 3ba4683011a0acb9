# Propensity weights, balance, and weighted survfit and coxph with robust (infinitesimal jackknife) errors.
source("helpers/record.R")
source("helpers/multinomial.R")

propensity <- function(data, covariates, group, target) {
  p <- patterns(data, covariates, group); classes <- ncol(p$counts)
  probability <- shares(p$x, poissonMultinomial(p$x, p$counts)$coefficient, classes)[p$of, ]
  own <- probability[cbind(seq_len(nrow(data)), data[[group]] + 1)]
  if (target == "everyone") as.vector(table(data[[group]]) / nrow(data))[data[[group]] + 1] / own else 1 / own / rowSums(1 / probability)
}

standardised <- function(x, group, w) { # pairs of groups: difference of weighted means over the root of the mean unweighted variance
  mean <- sapply(split(seq_along(x), group), function(i) sum(w[i] * x[i]) / sum(w[i]))
  variance <- sapply(split(x, group), function(v) if (all(v %in% 0:1)) mean(v) * (1 - mean(v)) else var(v))
  pairs <- combn(length(mean), 2)
  list(means = unname(mean), largestDifference = max(abs(mean[pairs[1, ]] - mean[pairs[2, ]]) / sqrt((variance[pairs[1, ]] + variance[pairs[2, ]]) / 2)))
}

case <- function(name, data, covariates, target = "everyone", entry = FALSE, cluster = FALSE) {
  data$w <- propensity(data, covariates, "group", target)
  data$id <- if (cluster) data$cluster else seq_len(nrow(data))
  response <- if (entry) Surv(data$entry, data$exit, data$event) else Surv(data$exit, data$event)
  curves <- lapply(split(seq_len(nrow(data)), data$group), function(i) {
    s <- summary(survfit(response[i] ~ 1, data = data[i, ], weights = w, cluster = id, robust = TRUE, conf.type = "log-log"))
    keep <- unique(round(seq(1, length(s$time), length.out = 12)))
    list(time = s$time[keep], survival = s$surv[keep], error = s$std.err[keep], lower = s$lower[keep], upper = s$upper[keep])
  })
  cox <- coxph(response ~ factor(group), data = data, weights = w, cluster = id, robust = TRUE, ties = "breslow", control = exact)
  byGroup <- split(data$w, data$group)
  list(name = name, target = target,
       input = c(as.list(data[c("exit", "event", "group", if (entry) "entry", if (cluster) "cluster")]), list(covariates = as.list(data[covariates]))),
       expected = list(weight = data$w, effectiveSize = unname(sapply(byGroup, function(w) sum(w)^2 / sum(w^2))),
                       largest = unname(sapply(byGroup, function(w) max(w) / mean(w))),
                       before = lapply(data[covariates], standardised, data$group, rep(1, nrow(data))), after = lapply(data[covariates], standardised, data$group, data$w),
                       curves = unname(curves), coefficient = unname(coef(cox)), variance = as.matrix(unname(vcov(cox)))))
}

deaths <- with(colon[colon$etype == 2, ], data.frame(exit = time, event = status, group = as.integer(rx) - 1, sex, age, obstruct, adhere, node4))
veterans <- with(veteran, data.frame(exit = time, event = status, group = trt - 1, age, karno, diagtime, prior = prior / 10))
infections <- with(cgd, data.frame(entry = tstart, exit = tstop, event = status, group = as.integer(treat) - 1, age, steroids, sex = as.integer(sex) - 1, cluster = id))
hearts <- with(jasa, data.frame(exit = pmax(futime, 0) + 1, event = fustat, group = surgery, age = round(age), year = as.numeric(accept.dt - min(accept.dt)) %/% 365))

record("survfit(weights, cluster, robust = TRUE, conf.type = 'log-log'); coxph(weights, cluster, robust = TRUE, ties = 'breslow')", list(
  case("colon deaths, three groups", deaths, c("sex", "age", "obstruct", "adhere", "node4")),
  case("colon deaths, three groups, those in the overlap", deaths, c("sex", "age", "obstruct", "adhere", "node4"), "overlap"),
  case("veteran, two groups, those in the overlap", veterans, c("age", "karno", "diagtime", "prior"), "overlap"),
  case("heart, uneven groups", hearts, c("age", "year")),
  case("cgd, delayed entry, patient as cluster", infections, c("age", "steroids", "sex"), entry = TRUE, cluster = TRUE)
))
