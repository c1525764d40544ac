/**
 * The seed of the random values that tests draw: the same in each run, unless another is asked for.
 */
export const seed = Number(process.env.LONG_SEED ?? process.env.PROPERTY_SEED ?? 20_260_402);
