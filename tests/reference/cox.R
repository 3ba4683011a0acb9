# coxph, fitted to the last digits, with cox.zph; counted cells are expanded to one row per procedure first.
source("helpers/record.R")

# `terms`: right-hand side; `data`: exit, event, and where wanted entry, stratum, cluster, count, besides the covariates
model <- function(name, data, terms, ties = "efron") {
  rows <- if (is.null(data$count)) data else expanded(data)
  entry <- !is.null(rows$entry)
  response <- if (entry) "Surv(entry, exit, event == 1)" else "Surv(exit, event == 1)"
  strata <- if (is.null(rows$stratum)) "" else "+ strata(stratum)"
  formula <- as.formula(paste(response, "~", terms, strata))
  fit <- coxph(formula, data = rows, ties = ties, control = exact, x = TRUE)
  x <- coxph(formula, data = data, ties = ties, control = exact, x = TRUE)$x # one row per cell

  zph <- function(transform) {
    if (transform == "log" && any(rows$exit == 0)) return(list(transform = transform, singular = TRUE))
    z <- tryCatch(cox.zph(fit, transform = transform)$table, error = function(e) NULL) # singular where all events share one g(t)
    if (is.null(z)) list(transform = transform, singular = TRUE)
    else list(transform = transform, singular = FALSE, chisq = unname(z[, "chisq"]), df = unname(z[, "df"]))
  }
  # basehaz: at covariates 0
  hazard <- basehaz(fit, centered = FALSE)
  keep <- hazard$time %in% rows$exit[rows$event == 1]
  expected <- list(
    coef = unname(coef(fit)), variance = unname(vcov(fit)), logLik = fit$loglik,
    tests = list(likelihoodRatio = 2 * diff(fit$loglik), wald = unname(fit$wald.test), score = fit$score),
    zph = lapply(c("km", "identity", "rank", "log"), zph),
    hazard = if (is.null(rows$stratum)) list(time = hazard$time[keep], cumulative = hazard$hazard[keep]) else NULL)
  if (!is.null(rows$cluster)) {
    robust <- coxph(formula, data = rows, ties = ties, control = exact, cluster = cluster)
    expected$robust <- list(variance = unname(vcov(robust)), wald = unname(robust$wald.test), clusters = length(unique(rows$cluster)))
  }
  if (is.null(data$count) && nrow(data) < 100) {
    expected$residuals <- list(martingale = unname(residuals(fit, "martingale")), score = as.matrix(unname(residuals(fit, "score"))),
                               schoenfeld = as.matrix(unname(residuals(fit, "schoenfeld"))))
    order <- order(rows$exit) # schoenfeld residuals come in the order of time
    expected$residuals$schoenfeldRows <- order[rows$event[order] == 1] - 1
    if (is.null(rows$stratum)) expected$residuals$scaled <- unname(cox.zph(fit, transform = "identity", terms = FALSE)$y)
  }
  columns <- intersect(c("entry", "exit", "event", "count", "stratum", "cluster"), names(data))
  covariates <- as.list(as.data.frame(unname(x)))
  names(covariates) <- colnames(x)
  list(name = paste0(name, ", ", ties), call = paste(deparse(formula, width.cutoff = 500), collapse = ""), ties = ties,
       input = c(as.list(data[columns]), list(covariates = covariates, terms = lapply(unname(fit$assign), function(columns) as.list(columns - 1)))), expected = expected)
}
both <- function(...) list(model(..., ties = "efron"), model(..., ties = "breslow"))
complete <- function(data) data[complete.cases(data), ]
code <- function(x) as.integer(factor(x)) - 1L

six <- data.frame(exit = c(1, 1, 6, 6, 8, 9), event = c(1, 0, 1, 1, 0, 1), x = c(1, 1, 1, 0, 0, 0))
ten <- data.frame(entry = c(1, 2, 5, 2, 1, 7, 3, 4, 8, 8), exit = c(2, 3, 6, 7, 8, 9, 9, 9, 14, 17),
                  event = c(1, 1, 1, 1, 1, 1, 1, 0, 0, 0), x = c(1, 0, 0, 1, 0, 1, 1, 1, 0, 0))
leukaemia <- data.frame(exit = c(6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35,
                                 1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23),
                        event = c(1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0, rep(1, 21)), placebo = rep(0:1, each = 21))
lungs <- complete(with(lung, data.frame(exit = time, event = status - 1, age, sex, ph.ecog, cluster = inst)))
institutions <- complete(with(lung, data.frame(exit = time, event = status - 1, age, sex, stratum = inst)))
veterans <- with(veteran, data.frame(exit = time, event = status, trt, celltype, karno, diagtime, age, prior))
ovaries <- with(ovarian, data.frame(exit = futime, event = fustat, age, rx, ecog.ps))
litters <- with(rats[rats$sex == "f", ], data.frame(exit = time, event = status, rx, cluster = litter))
bothSexes <- with(rats, data.frame(exit = time, event = status, rx, stratum = code(sex), cluster = litter))
livers <- complete(with(pbc, data.frame(exit = time, event = status == 2, age, edema = factor(edema), bili = log(bili), albumin, protime, stage = factor(stage))))
livers$event <- as.numeric(livers$event)
arms <- with(colon[colon$etype == 2, ], data.frame(exit = time, event = status, rx, sex, age, node4, stratum = extent))
hearts <- with(heart, data.frame(entry = start, exit = stop, event, age, year, surgery, transplant, cluster = id))
infections <- with(cgd, data.frame(entry = tstart, exit = tstop, event = status, treat, age, steroids, stratum = code(hos.cat), cluster = id))
tumours <- with(bladder, data.frame(exit = stop, event, rx, size, number, stratum = enum, cluster = id))
ages <- complete(with(lung, data.frame(entry = round(365.25 * age), exit = round(365.25 * age) + time, event = status - 1, sex, ph.ecog)))
mgus <- complete(with(mgus2, data.frame(exit = ifelse(pstat == 1, ptime, futime), event = ifelse(pstat == 1, 1, 2 * death), age, sex, mspike)))
cells <- counted(with(veteran, data.frame(exit = months(time), event = status, trt, celltype = code(celltype), old = as.numeric(age >= 60))))
nodes <- counted(with(colon[colon$etype == 1, ], data.frame(exit = months(time), event = status, rx = code(rx), node4, stratum = sex)))
zero <- data.frame(exit = c(0, 0, 0, 1, 1, 2, 3, 3, 4, 5, 6, 7), event = c(1, 1, 0, 1, 0, 1, 0, 1, 1, 0, 1, 0), x = c(1, 0, 1, 0, 1, 1, 0, 0, 1, 1, 0, 0))

cases <- c(
  both("data set 1 of Therneau & Grambsch 2000, appendix E", six, "x"),
  both("data set 2 of Therneau & Grambsch 2000, appendix E, delayed entry", ten, "x"),
  both("6-MP against placebo (Freireich et al. 1963)", leukaemia, "placebo"),
  both("lung, institution as cluster", lungs, "age + sex + factor(ph.ecog)"),
  list(model("lung, institutions as strata", institutions, "age + sex")),
  both("veteran", veterans, "trt + celltype + karno + diagtime + age + prior"),
  both("ovarian", ovaries, "age + rx + ecog.ps"),
  both("rats, females, litter as cluster", litters, "rx"),
  list(model("rats, sex as stratum, litter as cluster", bothSexes, "rx")),
  both("pbc", livers, "age + edema + bili + albumin + protime + stage"),
  list(model("colon deaths, extent as stratum", arms, "rx + sex + age + node4")),
  both("heart, delayed entry, patient as cluster", hearts, "age + year + surgery + transplant"),
  both("cgd, delayed entry, hospital class as stratum, patient as cluster", infections, "treat + age + steroids"),
  both("bladder, recurrence number as stratum, patient as cluster", tumours, "rx + size + number"),
  both("lung on the scale of age, delayed entry", ages, "sex + factor(ph.ecog)"),
  list(model("mgus2, death competes", mgus, "age + sex + mspike")),
  both("veteran in months, counted cells", cells, "trt + factor(celltype) + old"),
  both("colon recurrence in months, counted cells, sex as stratum", nodes, "factor(rx) + node4"),
  both("events at time 0", zero, "x")
)
record("coxph(..., control = coxph.control(eps = 1e-14, iter.max = 100)); cox.zph; basehaz(centered = FALSE)", cases)
