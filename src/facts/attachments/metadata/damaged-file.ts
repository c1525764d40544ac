/**
 * The file is not what it begins as, or ends before what it began. The message says where it goes
 * wrong.
 */
export class DamagedFile extends Error {}
