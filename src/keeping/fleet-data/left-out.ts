/**
 * Names of columns and fields that would give access, or that are useless outside the service. A
 * pattern rather than a list, so that new ones are left out as well.
 */
const SECRET = /(^|_)(hash|secret|password|token)$/;

/**
 * Stored responses to requests, kept for a day in case a request is repeated. Everything in them is
 * also in the other tables.
 */
const NOT_RECORDS: Record<string, string[]> = { idempotency_records: ['body'] };

/** Returns the columns of a table that an export leaves out. */
export function leftOut(table: string, columns: readonly { name: string }[]): string[] {
  return columns
    .map(({ name }) => name)
    .filter((name) => SECRET.test(name) || NOT_RECORDS[table]?.includes(name));
}

const snake = (name: string): string => name.replaceAll(/[A-Z]/g, (capital) => `_${capital.toLowerCase()}`);

/** Returns a document without its secrets, such as an audit entry that mentions one. */
export function withoutSecretFields(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withoutSecretFields);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, inner]) => [
      name,
      SECRET.test(snake(name)) ? { hidden: true } : withoutSecretFields(inner),
    ]),
  );
}
