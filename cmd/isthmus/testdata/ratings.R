# What the demo's ratings say of trainees and assessors, from ratings.csv (which TestAssessorsAgain writes with -update) into ratings-r.json.
# Rscript ratings.R, in this folder; base R with the package lme4 (Debian's r-cran-lme4). The test needs the JSON only.
# Components by restricted maximum likelihood; the limits of the variance between trainees by F (Searle 1971); phi of a mean (Brennan 2001).
library(lme4)

d <- read.csv("ratings.csv", stringsAsFactors = TRUE)
d$pair <- interaction(d$trainee, d$assessor, drop = TRUE)
level <- 0.90

figures <- function(scale) {
  f <- list()
  put <- function(name, value) f[[name]] <<- unname(value)
  fit <- lmer(d[[scale]] ~ 1 + (1 | trainee) + (1 | assessor) + (1 | pair), data = d, REML = TRUE,
    control = lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10, maxfun = 1e5), check.conv.singular = "ignore"))
  v <- as.data.frame(VarCorr(fit))
  of <- function(name) v$vcov[v$grp == name]
  trainee <- of("trainee"); assessor <- of("assessor"); pair <- of("pair"); residual <- of("Residual")
  put("ratings", nrow(d)); put("trainees", nlevels(d$trainee)); put("assessors", nlevels(d$assessor)); put("pairs", nlevels(d$pair))
  put("trainee", trainee); put("assessor", assessor); put("pair", pair); put("residual", residual)

  # the error in one trainee's mean that is not shared with the others, on average over trainees
  met <- table(d$trainee, d$assessor)
  n <- rowSums(met)
  noise <- mean(pair * rowSums(met^2) / n^2 + residual / n)
  free <- nrow(d) - nrow(met) - ncol(met) + 1
  ratio <- (trainee + noise) / noise
  limit <- function(p) max(0, noise * (ratio / qf(p, nrow(met) - 1, free) - 1))
  low <- limit((1 + level) / 2); high <- limit((1 - level) / 2)
  put("low", low); put("high", high)

  phi <- function(between, cases, assessors) {
    own <- tabulate((seq_len(cases) - 1) %% assessors + 1, assessors)
    error <- (assessor + pair) * sum(own^2) / cases^2 + residual / cases
    if (between > 0) between / (between + error) else 0
  }
  for (cases in c(5, 10, 15, 20)) for (a in 1:5) {
    name <- paste0("phi.", cases, ".", a)
    put(name, phi(trainee, cases, a)); put(paste0(name, ".low"), phi(low, cases, a)); put(paste0(name, ".high"), phi(high, cases, a))
  }
  for (target in c(0.7, 0.8)) for (a in 1:5) {
    enough <- Filter(function(cases) phi(trainee, cases, a) >= target, a:100)
    put(paste0("fewest.", target, ".", a), if (length(enough) > 0) enough[1] else 0)
  }

  # severity: trainees and assessors only; limits by the prediction error from the mixed model equations (Henderson 1975, 10.2307/2529430)
  plain <- lmer(d[[scale]] ~ 1 + (1 | trainee) + (1 | assessor), data = d, REML = TRUE,
    control = lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10, maxfun = 1e5), check.conv.singular = "ignore"))
  v <- as.data.frame(VarCorr(plain))
  stopifnot(of("trainee") > 0, of("assessor") > 0)
  z <- cbind(1, model.matrix(~ 0 + trainee, d), model.matrix(~ 0 + assessor, d))
  lambda <- of("Residual") / rep(c(Inf, of("trainee"), of("assessor")), c(1, nrow(met), ncol(met)))
  prediction <- of("Residual") * solve(crossprod(z) + diag(lambda))
  for (i in seq_len(ncol(met))) {
    name <- paste0("severity.", colnames(met)[i], ".")
    value <- -ranef(plain)$assessor[colnames(met)[i], 1]
    half <- qnorm((1 + level) / 2) * sqrt(prediction[1 + nrow(met) + i, 1 + nrow(met) + i])
    put(paste0(name, "n"), sum(met[, i])); put(paste0(name, "trainees"), sum(met[, i] > 0))
    put(paste0(name, "value"), value); put(paste0(name, "low"), value - half); put(paste0(name, "high"), value + half)
  }
  f
}

all <- list(help_given = figures("help_given"), supervision_next = figures("supervision_next"))
lines <- sapply(names(all), function(scale) {
  f <- all[[scale]]
  f <- f[order(names(f), method = "radix")]
  paste0("  \"", scale, "\": {\n", paste0("    \"", names(f), "\": ", sapply(f, function(x) sprintf("%.8g", x)), collapse = ",\n"), "\n  }")
})
writeLines(c("{", paste(lines, collapse = ",\n"), "}"), "ratings-r.json")
