/**
 * Key of the advisory lock held while tables, roles or logins are changed. The number is arbitrary,
 * but unlikely to be used by another program on the same database.
 */
export const MIGRATION_LOCK = 0x77656570;
