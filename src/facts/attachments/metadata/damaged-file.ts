/**
 * The file is not what its first bytes say, or ends too early. The message says where the fault is.
 */
export class DamagedFile extends Error {}
