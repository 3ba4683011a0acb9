# Proportional odds by MASS::polr, whose search ends at some five digits.
source("helpers/record.R")
suppressMessages(library(MASS))

case <- function(name, data, covariates, class) {
  fit <- polr(reformulate(covariates, class), data = data, weights = count, Hess = TRUE, control = list(reltol = 1e-15, maxit = 1000))
  list(name = name, input = list(x = as.matrix(unname(data[covariates])), y = as.integer(data[[class]]) - 1, count = data$count),
       expected = list(threshold = unname(round(fit$zeta, 4)), coefficient = unname(round(coef(fit), 4)), logLik = round(as.numeric(logLik(fit)), 5), error = unname(signif(sqrt(diag(vcov(fit)))[seq_along(covariates)], 3))))
}
homes <- transform(housing, medium = as.numeric(Infl == "Medium"), high = as.numeric(Infl == "High"), contact = as.numeric(Cont == "High"), tower = as.numeric(Type == "Tower"), count = Freq)
lungs <- with(lung[complete.cases(lung[c("ph.ecog", "age", "sex", "wt.loss")]) & lung$ph.ecog < 3, ], data.frame(ecog = factor(ph.ecog), age = (age - 60) / 10, sex, loss = wt.loss / 10, count = 1))
record("polr(Hess = TRUE, control = list(reltol = 1e-15))", list(
  case("housing: satisfaction (MASS, counted cells)", homes, c("medium", "high", "contact", "tower"), "Sat"),
  case("lung: performance status", lungs, c("age", "sex", "loss"), "ecog")
), c("survival", "MASS"))
