/** The version of the package and of the API. A test checks that both are the same. */
export const API_VERSION = '0.1.0';
