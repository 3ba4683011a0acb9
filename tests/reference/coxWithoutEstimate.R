# Fits in which some coefficients have no estimate: R marks a collinear one NA and lets a separated one run towards infinity.
source("helpers/record.R")

model <- function(name, data, terms, without) {
  formula <- as.formula(paste("Surv(exit, event == 1) ~", terms))
  x <- model.matrix(as.formula(paste("~", terms)), data)[, -1, drop = FALSE]
  fit <- suppressWarnings(coxph(formula, data = data, control = exact))
  others <- setdiff(seq_len(ncol(x)), without)
  covariates <- as.list(as.data.frame(unname(x)))
  names(covariates) <- colnames(x)
  list(name = name, input = c(as.list(data[c("exit", "event")]), list(covariates = covariates)),
       expected = list(withoutEstimate = as.list(without - 1), coef = ifelse(seq_len(ncol(x)) %in% without, NA, unname(coef(fit))),
                       variance = unname(vcov(fit))[others, others, drop = FALSE], logLik = fit$loglik, score = fit$score))
}

livers <- with(pbc[!is.na(pbc$trt), ], data.frame(exit = time, event = as.numeric(status == 2), age, trt, male = as.numeric(sex == "m"), edema))
livers$none <- as.numeric(livers$edema == 0)
livers$some <- as.numeric(livers$edema == 0.5)
livers$much <- as.numeric(livers$edema == 1)
livers$months <- livers$age * 12 + 3
livers$same <- 1
quiet <- livers
quiet$event[quiet$some == 1] <- 0
quietReference <- livers
quietReference$event[quietReference$none == 1] <- 0
sides <- livers
sides$event[sides$trt == 1] <- 0

cases <- list(
  model("a column that follows from two others", livers, "age + none + some + much", without = 4),
  model("age in years and in months", livers, "age + trt + months", without = 3),
  model("a constant", livers, "age + same + trt", without = 2),
  model("a level without events", quiet, "age + some + much + trt", without = 2),
  model("no events in the reference level", quietReference, "age + some + much + trt", without = c(2, 3)),
  model("no events on one side of a two-valued covariate", sides, "age + trt + male", without = 2)
)
record("coxph(..., control = coxph.control(eps = 1e-14, iter.max = 100))", cases)
