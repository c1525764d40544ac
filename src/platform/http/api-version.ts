/** The version of the package, which the contract changes with; a test compares them. */
export const API_VERSION = '0.1.0';
