# Rasch difficulties, infit and outfit where each of 160 people was asked six of ten items, by eRm 1.0 (conditional maximum likelihood).
# Usage: Rscript asked.R (writes asked.json beside it). Debian: r-base-core r-cran-erm r-cran-jsonlite.
suppressMessages(library(eRm))
set.seed(7)
n <- 160; k <- 10
b <- seq(-1.8, 1.8, length.out = k); th <- rnorm(n)
X <- matrix(as.integer(runif(n * k) < plogis(outer(th, b, "-"))), n, k)
for (i in 1:n) X[i, sample(k, 4)] <- NA
f <- RM(X, sum0 = TRUE)
fit <- itemfit(suppressMessages(person.parameter(f)))
out <- list(source = paste("R", getRversion(), "eRm", packageVersion("eRm")), answers = X, difficulty = unname(-f$betapar), se = unname(f$se.beta), loglik = f$loglik,
            infit = unname(fit$i.infitMSQ), outfit = unname(fit$i.outfitMSQ))
jsonlite::write_json(out, "asked.json", digits = 12, auto_unbox = TRUE, na = "null")
