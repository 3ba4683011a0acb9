# The primary procedures of the sample extract with their follow-up, read from its CSV files without any of the workbench's own code:
# a row each, times in days since the procedure; event 1: revised, 3: died, 0: neither.
archive <- "../../sample-registry/extract.zip"
extractTable <- function(name) read.csv(unz(archive, paste0(name, ".csv")), colClasses = "character", na.strings = "")
day <- function(column) as.integer(as.Date(column))
registry <- extractTable("registry")
closing <- day(registry$closing_date)

# Procedures with a possible age and a known class, the first of each key and of each side of a joint, none after the patient's death
procedures <- extractTable("procedures")
procedures$line <- seq_len(nrow(procedures))
procedures$day <- day(procedures$procedure_date)
classes <- c("anatomic_total", "reverse_total", "hemi", "resurfacing", "total_hip", "total_knee", "partial_knee")
procedures$age <- as.numeric(procedures$age_years)
procedures <- procedures[procedures$age >= 10 & procedures$age <= 110 & procedures$class %in% classes, ]
procedures <- procedures[!duplicated(procedures$procedure_id), ]
deaths <- extractTable("deaths")
procedures$death <- day(deaths$death_date)[match(procedures$patient_id, deaths$patient_id)]
procedures <- procedures[is.na(procedures$death) | procedures$day <= procedures$death, ]
side <- function(data) paste(data$patient_id, data$joint, data$side)
procedures <- procedures[order(procedures$day), ]
procedures <- procedures[!duplicated(side(procedures)), ]

# The first revision: linked by the procedure it names or else by patient, joint and side; never before the procedure or after death;
# of two on one day the major one
revisions <- extractTable("revisions")
revisions <- revisions[revisions$kind %in% c("major", "minor"), ]
named <- match(revisions$procedure_id, procedures$procedure_id)
named[is.na(revisions$procedure_id)] <- match(side(revisions), side(procedures))[is.na(revisions$procedure_id)]
revisions$day <- day(revisions$revision_date)
possible <- !is.na(named) & revisions$day >= procedures$day[named] & revisions$day <= closing
possible <- possible & (is.na(procedures$death[named]) | revisions$day <= procedures$death[named])
revisions <- cbind(revisions, named)[possible, ]
revisions <- revisions[order(revisions$day, revisions$kind), ]
first <- match(seq_len(nrow(procedures)), revisions$named)
procedures$revision <- revisions$day[first]
procedures$kind <- revisions$kind[first]
procedures$reasons <- revisions$reasons[first]

end <- pmin(procedures$revision, procedures$death, day(procedures$follow_up_end), closing, na.rm = TRUE)
procedures$entry <- pmax(day(procedures$follow_up_start) - procedures$day, 0, na.rm = TRUE)
procedures$exit <- end - procedures$day
procedures$event <- ifelse(!is.na(procedures$revision) & procedures$revision == end, 1, ifelse(!is.na(procedures$death) & procedures$death == end, 3, 0))

components <- extractTable("components")
components <- components[components$role == "glenoid" & components$model_code %in% extractTable("models")$model_code, ]
glenoid <- match(procedures$procedure_id, components$procedure_id)
procedures$design <- components$design_class[glenoid]
procedures$model <- components$model_code[glenoid]

# The groups of a comparison up to a horizon in days, on which events count. Those at risk from the start enter before day 0.
upTo <- function(data, horizon) {
  data <- data[data$entry < pmin(data$exit, horizon) | data$entry == 0, ]
  data$event[data$exit > horizon] <- 0
  data$exit <- pmin(data$exit, horizon)
  data$entry[data$entry == 0] <- -1
  data$revised <- as.numeric(data$event == 1)
  data
}
