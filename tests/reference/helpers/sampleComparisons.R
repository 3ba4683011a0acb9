# Two comparisons of glenoid components in anatomic total shoulders of the sample extract, as the workbench is asked them: one by default, and one
# with a continuous covariate, strata, hospitals as clusters and three groups.
source("helpers/sampleProcedures.R")

shoulders <- procedures[procedures$joint == "shoulder", ]
shoulders$learning <- shoulders$day - ave(shoulders$day, paste(shoulders$hospital_id, shoulders$model), FUN = min) < 365
shoulders <- shoulders[order(shoulders$day, shoulders$line), ]
shoulders$firstJoint <- !duplicated(shoulders$patient_id)

bands <- function(value, cuts) factor(findInterval(value, cuts))
shoulders$ageBand <- bands(shoulders$age, c(55, 65, 75))
shoulders$ageTens <- shoulders$age / 10
shoulders$asa <- bands(as.numeric(shoulders$asa_grade), 2:4)
shoulders$bmiBand <- bands(as.numeric(shoulders$bmi), c(25, 30, 35))
shoulders$year <- as.integer(format(as.Date(shoulders$procedure_date), "%Y"))
shoulders$period <- factor(shoulders$year %/% 5)
column <- c(age = "ageBand", age_linear = "ageTens", sex = "sex", indication = "indication", asa = "asa", bmi = "bmiBand", period = "period")

comparisons <- list(
  list(name = "pegged against keeled, ten years", groups = c("all_poly_pegged", "all_poly_keeled"),
       adjust = c("age", "sex"), strata = character(0), cluster = "patient", horizon = 3653),
  list(name = "three designs, seven years, within each sex, hospitals as clusters", groups = c("all_poly_pegged", "all_poly_keeled", "metal_backed"),
       adjust = c("age_linear", "indication"), strata = "sex", cluster = "hospital", horizon = 2557))

cohortOf <- function(comparison) {
  cohort <- shoulders[shoulders$class == "anatomic_total" & shoulders$design %in% comparison$groups, ]
  cohort$group <- factor(cohort$design, comparison$groups)
  cohort$cluster <- cohort[[paste0(comparison$cluster, "_id")]]
  upTo(cohort, comparison$horizon)
}

inputOf <- function(comparison) {
  question <- with(comparison, list(cohort = list(classes = I("anatomic_total")), groups = groups, reference = groups[1], adjust = I(adjust), strata = I(strata),
                                    cluster = cluster, horizonYears = round(horizon / 365.25)))
  list(version = registry$version, question = question)
}
