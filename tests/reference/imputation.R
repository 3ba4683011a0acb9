# Chained equations by mice on data made incomplete by a rule that depends on what is seen: many imputations, so that the pooled values are near
# those that any correct program would reach; `monteCarlo` is the standard error that their number leaves.
source("helpers/record.R")
suppressMessages(library(mice))

livers <- with(pbc[complete.cases(pbc[c("stage", "hepato", "bili", "age", "sex")]), ], data.frame(
  exit = time, event = as.numeric(status == 2), age = round(age) / 10, female = as.numeric(sex == "f"), bili = round(log(bili), 3), hepato, stage = pmax(stage, 2) - 2))
set.seed(31)
n <- nrow(livers); chance <- plogis(-1.2 + 0.8 * (livers$exit < 1500) + 0.5 * (livers$age - 5))
made <- transform(livers, stage = ifelse(runif(n) < chance, NA, stage), hepato = ifelse(runif(n) < 0.8 * chance, NA, hepato), bili = ifelse(runif(n) < 0.6 * chance, NA, bili))

incomplete <- transform(made, stage = factor(stage, ordered = TRUE), hepato = factor(hepato))
incomplete$hazard <- nelsonaalen(incomplete, exit, event)
predictors <- make.predictorMatrix(incomplete); predictors[, "exit"] <- 0
m <- 80
imputed <- mice(incomplete, m = m, maxit = 10, seed = 7, printFlag = FALSE, predictorMatrix = predictors, method = c("", "", "", "", "pmm", "logreg", "polr", ""))
fits <- with(imputed, coxph(Surv(exit, event) ~ age + female + bili + as.numeric(hepato == "1") + I(as.numeric(stage) == 2) + I(as.numeric(stage) == 3)))
pooled <- pool(fits)$pooled
shares <- function(k) { d <- complete(imputed, k); c(mean(d$bili[is.na(made$bili)]), mean(d$hepato[is.na(made$hepato)] == "1"), mean(d$stage[is.na(made$stage)] == "1"), mean(d$stage[is.na(made$stage)] == "2")) }
drawn <- sapply(1:m, shares)
record("mice(method = c('pmm', 'logreg', 'polr'), m = 80, maxit = 10); pool(coxph)", list(list(
  name = "pbc made incomplete", input = as.list(made),
  expected = list(coefficient = signif(pooled$estimate, 6), error = signif(sqrt(pooled$t), 6), fractionMissing = signif(pooled$fmi, 4), monteCarlo = signif(sqrt(pooled$b / m), 4),
                  drawn = signif(rowMeans(drawn), 6), drawnMonteCarlo = signif(apply(drawn, 1, sd) / sqrt(m), 4)),
  complete = list(coefficient = unname(coef(coxph(Surv(exit, event) ~ age + female + bili + hepato + (stage == 1) + (stage == 2), data = livers, control = exact)))))), c("survival", "mice"))
