/**
 * Columns and fields that let somebody in, or are of no use outside the service: by rule, so that a
 * new one is left out as well.
 */
const SECRET = /(^|_)(hash|secret|password|token)$/;

/**
 * Answers that were given to requests, kept for a day in case they are sent again: all that is in
 * them stands in the other tables.
 */
const NOT_RECORDS: Record<string, string[]> = { idempotency_records: ['body'] };

/** The columns of a table that an export leaves out. */
export function leftOut(table: string, columns: readonly { name: string }[]): string[] {
  return columns
    .map(({ name }) => name)
    .filter((name) => SECRET.test(name) || NOT_RECORDS[table]?.includes(name));
}

const snake = (name: string): string => name.replaceAll(/[A-Z]/g, (capital) => `_${capital.toLowerCase()}`);

/** A document without the secrets in it, such as an audit entry that tells of one. */
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
