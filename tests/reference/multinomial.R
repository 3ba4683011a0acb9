# Logistic regression by glm, multinomial regression by nnet::multinom (whose search ends at some six digits) and by Poisson regression.
source("helpers/record.R")
source("helpers/multinomial.R")
library(nnet)

case <- function(name, data, covariates, class) {
  p <- patterns(data, covariates, class); x <- p$x; counts <- p$counts; classes <- ncol(counts)
  if (classes == 2) {
    fit <- glm(reformulate(covariates, "counts[, 2:1]"), family = binomial, data = x, control = list(epsilon = 1e-15, maxit = 100))
    fit <- list(coefficient = unname(coef(fit)), variance = unname(vcov(fit)))
    search <- fit$coefficient
  } else {
    fit <- poissonMultinomial(x, counts)
    search <- as.vector(t(coef(multinom(reformulate(covariates, "counts"), data = x, trace = FALSE, reltol = 1e-14, abstol = 1e-14, maxit = 1000))))
  }
  fitted <- shares(x, fit$coefficient, classes)
  null <- matrix(colSums(counts) / sum(counts), nrow(x), classes, byrow = TRUE)
  logLik <- function(s) sum(ifelse(counts > 0, counts * log(s), 0))
  list(name = name, input = list(names = covariates, values = as.matrix(unname(x)), counts = counts),
       expected = list(coefficient = fit$coefficient, variance = fit$variance, probability = fitted, multinom = round(search, 4),
                       logLik = list(null = logLik(null), fitted = logLik(fitted))))
}

patients <- colon[colon$etype == 1 & !is.na(colon$nodes) & !is.na(colon$differ), ]
patients$poorly <- as.numeric(patients$differ == 3)
lungs <- lung[complete.cases(lung[c("ph.ecog", "age", "sex", "wt.loss")]) & lung$ph.ecog < 3, ]

record("glm(binomial, epsilon = 1e-15); glm(poisson, epsilon = 1e-15); multinom(reltol = 1e-14)", list(
  case("colon: treatment by patient", patients, c("sex", "age", "obstruct", "adhere", "node4", "poorly"), "rx"),
  case("lung: performance status by patient", lungs, c("age", "sex", "wt.loss"), "ph.ecog"),
  case("kidney: disease by sex and age", transform(kidney, female = sex - 1), c("female", "age"), "disease"),
  case("colon: recurrence by patient", patients, c("sex", "age", "obstruct", "node4", "extent"), "status"),
  case("veteran: trial arm by patient", transform(veteran, small = as.numeric(celltype == "smallcell")), c("age", "karno", "diagtime", "prior", "small"), "trt")
), c("survival", "nnet"))
