# survfit, coxph with Efron's rule and cox.zph on the rows of a folder; only the calls are timed. Rscript peer.R <folder> <runs> <with 18 coefficients: yes or no>
suppressPackageStartupMessages(library(survival))
arguments <- commandArgs(TRUE)
folder <- arguments[1]; runs <- as.integer(arguments[2]); withMany <- arguments[3] == "yes"
column <- function(name) { path <- file.path(folder, paste0(name, ".bin")); readBin(path, "integer", file.size(path) / 4, size = 4) }
terms <- c("group", "age", "sex", "asa", "bmi", "period", "approach")
orders <- lapply(strsplit(readLines(file.path(folder, "levels.txt")), " "), as.integer)
rows <- as.data.frame(lapply(setNames(c("entry", "exit", "event"), c("entry", "exit", "event")), column))
for (k in seq_along(terms)) rows[[terms[k]]] <- factor(column(terms[k]), levels = orders[[k]]) # -1, not recorded, becomes NA
rows$entry[rows$entry < 0] <- -1 # on (entry, exit], day 0 included

times <- list()
timed <- function(name, work) {
  took <- numeric(0); result <- NULL; began <- proc.time()[["elapsed"]]
  failure <- tryCatch({
    repeat { # as in timing.ts
      gc()
      took <- c(took, 1000 * system.time(result <- work())[["elapsed"]])
      passed <- proc.time()[["elapsed"]] - began
      if (passed > 60 || (length(took) >= runs && (passed > 1 || length(took) >= 50))) break
    }
    NULL
  }, error = function(e) conditionMessage(e))
  times[[name]] <<- if (is.null(failure)) sprintf('{"median":%.3f,"least":%.3f,"runs":%d}', median(took), min(took), length(took))
                    else sprintf('{"failed":%s}', encodeString(strsplit(failure, "\n")[[1]][1], quote = '"'))
  message(name, ": ", times[[name]])
  result
}
last <- function(fit, formula, data) coxph(formula, data, ties = "efron", init = coef(fit), control = coxph.control(eps = 1e-14, toler.chol = 1e-15, iter.max = 40)) # to the last digits

curves <- timed("curves", function() survfit(Surv(entry, exit, event) ~ group, data = rows, conf.type = "log-log"))
at <- summary(curves, times = floor(c(1, 2, 5, 7, 10) * 365.25 + 0.5), extend = TRUE)
complete <- rows[!is.na(rows$age) & !is.na(rows$sex), ]
adjusted <- Surv(entry, exit, event) ~ group + age + sex
fit <- timed("cox", function() coxph(adjusted, data = complete, ties = "efron"))
zph <- timed("proportionalHazards", function() cox.zph(fit, transform = "km"))
right <- timed("coxWithoutEntry", function() coxph(Surv(exit, event) ~ group + age + sex, data = complete, ties = "efron"))
coefficients <- coef(last(fit, adjusted, complete))
many <- numeric(0)
if (withMany) {
  complete <- rows[complete.cases(rows), ]
  all <- Surv(entry, exit, event) ~ group + age + sex + asa + bmi + period + approach
  runs <- 1L
  largest <- timed("manyCox", function() coxph(all, data = complete, ties = "efron"))
  many <- coef(last(largest, all, complete))
}
numbers <- function(values) paste0("[", paste(ifelse(is.finite(values), format(values, digits = 17, trim = TRUE), "null"), collapse = ","), "]")
status <- readLines("/proc/self/status")
peak <- 1024 * as.numeric(gsub("\\D", "", grep("^VmHWM", status, value = TRUE)))
cat(sprintf('{"version":"R %s.%s, survival %s","peak":%.0f,"times":{%s},"estimates":{"curves":%s,"coefficients":%s,"proportionalHazards":%s,"many":%s}}',
            R.version$major, R.version$minor, packageVersion("survival"), peak,
            paste0('"', names(times), '":', unlist(times), collapse = ","),
            numbers(as.vector(rbind(100 * (1 - at$surv), 100 * (1 - at$upper), 100 * (1 - at$lower), at$n.risk))), numbers(coefficients), numbers(zph$table[, "chisq"]), numbers(many)))
