# Shared gamma frailty by coxph: at given variances to the last digits, and at the variance that its search finds (some five digits).
source("helpers/record.R")

fitted <- function(data, covariates, ties, options) {
  response <- if (is.null(data$entry)) "Surv(exit, event)" else "Surv(entry, exit, event)"
  frail <- sprintf("frailty(cluster, distribution = 'gamma', %s)", options)
  formula <- as.formula(paste(response, "~", paste(c(covariates, frail), collapse = " + ")))
  suppressWarnings(coxph(formula, data = data, ties = ties, control = coxph.control(eps = 1e-14, iter.max = 200, outer.max = 200)))
}
logLik <- function(fit) fit$history[[1]]$c.loglik

case <- function(name, data, covariates, ties, thetas = c(0.1, 0.5, 2)) {
  rows <- if (is.null(data$count)) data else expanded(data)
  alone <- rows$cluster < 0 # a cluster of its own
  rows$cluster[alone] <- max(rows$cluster) + seq_len(sum(alone))
  given <- lapply(thetas, function(theta) {
    fit <- fitted(rows, covariates, ties, sprintf("theta = %.17g, sparse = FALSE", theta))
    keep <- match(covariates, names(coef(fit)))
    list(theta = theta, coefficient = unname(coef(fit)[keep]), variance = unname(vcov(fit)[keep, keep, drop = FALSE]), logLik = logLik(fit))
  })
  found <- fitted(rows, covariates, ties, "eps = 1e-13")
  best <- found$history[[1]]
  input <- as.list(data[intersect(c("entry", "exit", "event", "count", "cluster"), names(data))])
  list(name = paste0(name, ", ", ties), ties = ties, input = c(input, list(covariates = as.list(data[covariates]))), given = given,
       found = list(theta = round(best$theta, 4), logLik = round(best$c.loglik, 7), coefficient = I(round(unname(coef(found)), 5))))
}

litters <- with(rats[rats$sex == "f", ], data.frame(exit = time, event = status, rx, cluster = litter))
kidneys <- with(kidney, data.frame(exit = time, event = status, age, female = sex - 1, cluster = id))
infections <- with(cgd, data.frame(entry = tstart, exit = tstop, event = status, rIFN = as.integer(treat) - 1, age, cluster = id))
centres <- with(cgd, data.frame(entry = tstart, exit = tstop, event = status, rIFN = as.integer(treat) - 1, age, cluster = as.integer(center)))
byMonth <- counted(with(lung[complete.cases(lung[c("inst", "ph.ecog")]), ], data.frame(exit = months(time), event = status - 1, sex, ecog = pmin(ph.ecog, 1), cluster = inst)))
some <- transform(byMonth, cluster = ifelse(cluster %in% c(1, 3, 12, 13, 22), cluster, -1))

record("coxph(... + frailty(cluster, distribution = 'gamma', theta, sparse = FALSE)); frailty(cluster, distribution = 'gamma', eps = 1e-13)", list(
  case("rats, females, litters", litters, "rx", "breslow"),
  case("rats, females, litters", litters, "rx", "efron"),
  case("kidney catheters, patients", kidneys, c("age", "female"), "breslow"),
  case("kidney catheters, patients", kidneys, c("age", "female"), "efron"),
  case("cgd, delayed entry, patients", infections, c("rIFN", "age"), "efron"),
  case("cgd, delayed entry, centres", centres, c("rIFN", "age"), "efron"),
  case("lung in months, counted cells, institutions", byMonth, c("sex", "ecog"), "efron"),
  case("lung in months, counted cells, five institutions and the rest each for itself", some, c("sex", "ecog"), "efron", 0.3)
))
