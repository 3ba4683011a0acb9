# Logistic regression by glm, multinomial regression by nnet::multinom (whose search ends at some six digits) and, to the last digits, by the
# Poisson regression with a free total per pattern that has the same likelihood in the other coefficients (Baker 1994, The Statistician 43:495).
source("helpers/record.R")
library(nnet)

# `counts`: one row per pattern, columns of covariates `x` and of classes
model <- function(name, x, counts) {
  x <- as.data.frame(x); p <- nrow(x); classes <- ncol(counts)
  long <- do.call(rbind, lapply(seq_len(classes), function(k) cbind(x, pattern = factor(seq_len(p)), class = k - 1, count = counts[, k])))
  terms <- unlist(lapply(seq_len(classes - 1), function(k) c(sprintf("I(1 * (class == %d))", k), sprintf("I(%s * (class == %d))", names(x), k))))
  if (classes == 2) {
    fit <- glm(reformulate(names(x), "counts[, 2:1]"), family = binomial, data = x, control = list(epsilon = 1e-15, maxit = 100))
    coefficient <- unname(coef(fit)); variance <- unname(vcov(fit)); rounded <- round(coefficient, 4)
  } else {
    fit <- glm(reformulate(c("pattern", terms, "-1"), "count"), family = poisson, data = long, control = list(epsilon = 1e-15, maxit = 100))
    own <- seq_len(length(coef(fit)) - p) + p
    coefficient <- unname(coef(fit)[own]); variance <- unname(vcov(fit)[own, own])
    search <- multinom(reformulate(names(x), "counts"), data = x, trace = FALSE, reltol = 1e-14, abstol = 1e-14, maxit = 1000)
    rounded <- round(as.vector(t(coef(search))), 4)
  }
  share <- function(beta) { eta <- cbind(0, matrix(as.matrix(cbind(1, x)) %*% matrix(beta, ncol = classes - 1), nrow = p)); exp(eta) / rowSums(exp(eta)) }
  logLik <- function(s) sum(ifelse(counts > 0, counts * log(s), 0))
  null <- matrix(colSums(counts) / sum(counts), p, classes, byrow = TRUE)
  list(name = name, input = list(names = names(x), values = as.matrix(unname(x)), counts = unname(counts)),
       expected = list(coefficient = coefficient, variance = variance, probability = share(coefficient), multinom = rounded,
                       logLik = list(null = logLik(null), fitted = logLik(share(coefficient)))))
}

patterns <- function(data, covariates, class) {
  tally <- table(do.call(paste, data[covariates]), data[[class]])
  x <- data[match(rownames(tally), do.call(paste, data[covariates])), covariates]
  list(x = x, counts = matrix(as.numeric(tally), nrow(tally)))
}
case <- function(name, data, covariates, class) { p <- patterns(data, covariates, class); model(name, p$x, p$counts) }

patients <- colon[colon$etype == 1 & !is.na(colon$nodes) & !is.na(colon$differ), ]
patients$poorly <- as.numeric(patients$differ == 3)
lungs <- lung[complete.cases(lung[c("ph.ecog", "age", "sex", "wt.loss")]) & lung$ph.ecog < 3, ]
kidneys <- transform(kidney, female = sex - 1)

record("glm(binomial, epsilon = 1e-15); glm(poisson, epsilon = 1e-15); multinom(reltol = 1e-14)", list(
  case("colon: treatment by patient", patients, c("sex", "age", "obstruct", "adhere", "node4", "poorly"), "rx"),
  case("lung: performance status by patient", lungs, c("age", "sex", "wt.loss"), "ph.ecog"),
  case("kidney: disease by sex and age", kidneys, c("female", "age"), "disease"),
  case("colon: recurrence by patient", patients, c("sex", "age", "obstruct", "node4", "extent"), "status"),
  case("veteran: trial arm by patient", transform(veteran, small = as.numeric(celltype == "smallcell")), c("age", "karno", "diagtime", "prior", "small"), "trt")
), c("survival", "nnet"))
