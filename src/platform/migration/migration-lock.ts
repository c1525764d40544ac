/**
 * Held by whoever changes tables, roles or logins. Any number that no other program on the same
 * database is likely to use.
 */
export const MIGRATION_LOCK = 0x77656570;
