import { Logger } from '@nestjs/common';
import type { DataSource } from 'typeorm';

/**
 * Logs a warning when the process has logged in as a superuser or as a role that bypasses row-level
 * security. Taking a lesser role only limits the service's own statements: an injected statement
 * could drop that role again.
 */
export async function warnOfMightyLogin(dataSource: DataSource): Promise<void> {
  const [row] = await dataSource.query<{ login: string; role: string }[]>(
    `select session_user as login, current_user as role from pg_roles
     where rolname = session_user and (rolsuper or rolbypassrls) and current_user <> 'weephole_owner'`,
  );
  if (row)
    new Logger('database').warn(
      `${row.role} logs in as ${row.login}, and row-level security does not apply to that login. Use a login without other rights: docs/operations.md, "Database roles".`,
    );
}
