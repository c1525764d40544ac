/** The seed of the tests' random values: the same in each run, unless another is requested. */
export const seed = Number(process.env.LONG_SEED ?? process.env.PROPERTY_SEED ?? 20_260_402);
