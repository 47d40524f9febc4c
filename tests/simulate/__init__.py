"""Books made from known truth: for benchmarks and statistical studies."""
