# R-hat and effective sizes of chains that anybody can make again; prints convergence.json.
# Debian: r-base-core 4.2.2, r-cran-posterior 1.4.0. Rscript convergence.R > convergence.json
library(posterior)

# Park & Miller's generator (1988), exact in doubles; a sum of twelve uniforms less six is nearly normal.
state <- 1
uniform <- function() { state <<- (16807 * state) %% 2147483647; state / 2147483647 }
noise <- function() { sum <- 0; for (i in 1:12) sum <- sum + uniform(); sum - 6 }

# Chain by chain: x = phi x + noise, and of x its shift + scale x, or exp(x), or its place on a grid.
chains <- function(seed, n, phi, shift, scale, kind) {
  state <<- seed
  sapply(seq_along(shift), function(chain) {
    x <- 0
    sapply(1:n, function(draw) {
      x <<- phi * x + noise()
      value <- shift[chain] + scale[chain] * x
      if (kind == "exp") exp(value) else if (kind == "grid") floor(value) else value
    })
  })
}

cases <- list(
  list(name = "independent", seed = 1, n = 200, phi = 0, shift = c(0, 0), scale = c(1, 1), kind = "plain"),
  list(name = "slow", seed = 2, n = 500, phi = 0.9, shift = c(0, 0), scale = c(1, 1), kind = "plain"),
  list(name = "to and fro", seed = 3, n = 200, phi = -0.6, shift = c(0, 0), scale = c(1, 1), kind = "plain"),
  list(name = "apart", seed = 4, n = 200, phi = 0.3, shift = c(0, 0.5), scale = c(1, 1), kind = "plain"),
  list(name = "one wider", seed = 5, n = 200, phi = 0, shift = c(0, 0), scale = c(1, 3), kind = "plain"),
  list(name = "long tail", seed = 6, n = 300, phi = 0.5, shift = c(0, 0), scale = c(2, 2), kind = "exp"),
  list(name = "on a grid", seed = 7, n = 200, phi = 0.7, shift = c(0, 0), scale = c(1, 1), kind = "grid"),
  list(name = "four chains, an odd length", seed = 8, n = 151, phi = 0.4, shift = c(0, 0, 0.2, 0), scale = c(1, 1, 1, 1), kind = "plain")
)

result <- lapply(cases, function(one) {
  draws <- with(one, chains(seed, n, phi, shift, scale, kind))
  c(one, list(first = draws[1, 1], sum = sum(draws), rhat = rhat(draws), essBulk = ess_bulk(draws)))
})

# Numbers with the digits that they have.
number <- function(x) paste(format(x, digits = 15, trim = TRUE), collapse = ", ")
line <- function(one) with(one, sprintf(
  ' {"name": "%s", "seed": %d, "draws": %d, "phi": %s, "shift": [%s], "scale": [%s], "kind": "%s", "first": %s, "sum": %s, "rhat": %s, "essBulk": %s}',
  name, as.integer(seed), as.integer(n), number(phi), number(shift), number(scale), kind, number(first), number(sum), number(rhat), number(essBulk)))
cat("[\n", paste(sapply(result, line), collapse = ",\n"), "\n]\n", sep = "")
