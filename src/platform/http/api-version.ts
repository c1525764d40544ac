/** The version of the API, which is the version of the package. A test compares them. */
export const API_VERSION = '0.1.0';
