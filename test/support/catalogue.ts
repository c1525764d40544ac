import type pg from 'pg';

const SECTIONS: Record<string, string> = {
  columns: `
    select format('%s.%s %s%s%s%s', c.relname, a.attname, format_type(a.atttypid, a.atttypmod),
      case when a.attnotnull then ' not null' else '' end,
      case when d.adbin is not null then ' default ' || pg_get_expr(d.adbin, d.adrelid) else '' end,
      case when a.attgenerated <> '' then ' generated' else '' end)
    from pg_attribute a join pg_class c on c.oid = a.attrelid
    left join pg_attrdef d on d.adrelid = a.attrelid and d.adnum = a.attnum
    where c.relnamespace = 'public'::regnamespace and c.relkind in ('r', 'p') and a.attnum > 0 and not a.attisdropped`,
  constraints: `
    select format('%s %s %s%s', conrelid::regclass, conname, pg_get_constraintdef(oid), case when convalidated then '' else ' not valid' end)
    from pg_constraint where connamespace = 'public'::regnamespace and contype <> 'n'`,
  indexes: `
    select pg_get_indexdef(i.indexrelid) || case when i.indisvalid then '' else ' invalid' end
    from pg_index i join pg_class c on c.oid = i.indrelid where c.relnamespace = 'public'::regnamespace`,
  'row-level security': `
    select format('%s enabled %s forced %s', relname, relrowsecurity, relforcerowsecurity)
    from pg_class where relnamespace = 'public'::regnamespace and relkind in ('r', 'p')`,
  policies: `
    select format('%s %s %s for %s to %s using %s check %s', tablename, policyname, permissive, cmd, roles, coalesce(qual, '-'), coalesce(with_check, '-'))
    from pg_policies where schemaname = 'public'`,
  owners: `
    select format('%s %s', relname, relowner::regrole) from pg_class where relnamespace = 'public'::regnamespace and relkind in ('r', 'p', 'S', 'v', 'm')`,
  grants: `
    select format('%s to %s: %s', c.relname, case when x.grantee = 0 then 'public' else x.grantee::regrole::text end,
      string_agg(lower(x.privilege_type), ', ' order by x.privilege_type))
    from pg_class c cross join lateral aclexplode(coalesce(c.relacl, acldefault('r', c.relowner))) x
    where c.relnamespace = 'public'::regnamespace and c.relkind in ('r', 'p', 'S', 'v', 'm')
    group by c.relname, x.grantee`,
  'column grants': `
    select format('%s.%s to %s: %s', a.attrelid::regclass, a.attname, x.grantee::regrole, lower(x.privilege_type))
    from pg_attribute a join pg_class c on c.oid = a.attrelid cross join lateral aclexplode(a.attacl) x
    where c.relnamespace = 'public'::regnamespace`,
  functions: `
    select format('%s returns %s, owner %s, %s, %s, settings %s, execute: %s', p.oid::regprocedure, pg_get_function_result(p.oid), p.proowner::regrole,
      case when p.prosecdef then 'security definer' else 'security invoker' end, p.provolatile, p.proconfig, (
        select string_agg(case when x.grantee = 0 then 'public' else x.grantee::regrole::text end, ', ' order by x.grantee::regrole::text)
        from aclexplode(coalesce(p.proacl, acldefault('f', p.proowner))) x))
    from pg_proc p where p.pronamespace = 'public'::regnamespace`,
  triggers: `
    select pg_get_triggerdef(t.oid) from pg_trigger t join pg_class c on c.oid = t.tgrelid
    where c.relnamespace = 'public'::regnamespace and not t.tgisinternal`,
  roles: `
    select format('%s login %s superuser %s bypassrls %s createrole %s createdb %s', rolname, rolcanlogin, rolsuper, rolbypassrls, rolcreaterole, rolcreatedb)
    from pg_roles where rolname like 'weephole%' and rolname not like '%_login'`,
};

/**
 * Describes the service's own schema from the catalogue, one line per object, in an order that does
 * not depend on how it was created.
 */
export async function catalogueOf(admin: pg.Client): Promise<string> {
  const sections: string[] = [];
  for (const [title, text] of Object.entries(SECTIONS)) {
    const { rows } = await admin.query<[string]>({
      text: `select * from (${text}) as s(line) order by line collate "C"`,
      rowMode: 'array',
    });
    sections.push(`-- ${title}\n${rows.map(([line]) => `${line}\n`).join('')}`);
  }
  return sections.join('\n');
}
