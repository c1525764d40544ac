/** How a combustion-gas test begins; common practice, no published source. */
export const GAS_TEST =
  'Combustion-gas test: engine cold, lower the level so that the tester draws in no coolant, and fit it';

/**
 * The test after a part that may have let gas in was renewed; common practice, no published source.
 */
export const GAS_PROOF = `${GAS_TEST}; then run the engine hot and under load. A negative one closes the finding; if the fluid changes colour: park it. Let it cool before the tester comes off`;
