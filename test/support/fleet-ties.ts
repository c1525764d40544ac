import { parse } from 'libpg-query';

/** A node of PostgreSQL's own parse tree. */
type Node = Record<string, any>;

/** The relations that can be named in one part of a statement, and the part around it. */
interface Scope {
  names: Map<string, string>;
  outer: Scope | null;
  /** The first relation that is read or changed; one in a `with` clause does not count. */
  first: string | null;
}

/**
 * The fleet that the statement is given: a parameter, or the setting that row-level security uses.
 */
const GIVEN = 'given';

/** Groups nodes whose fleet ids are equal, directly or through other nodes. */
class Ties {
  private readonly parent = new Map<string, string>();

  of(node: string): string {
    const up = this.parent.get(node);
    return up === undefined || up === node ? node : this.of(up);
  }

  tie(a: string | null, b: string | null): void {
    if (a !== null && b !== null) this.parent.set(this.of(a), this.of(b));
  }
}

/**
 * Returns the fleet tables of a statement that are not tied to its fleet, by `fleet_id = $1` or by
 * a join to a table that is. On a database distributed by fleet, the rows of such a table would
 * have to be looked up on every node.
 */
export async function untiedTables(text: string, isOfFleet: (table: string) => boolean): Promise<string[]> {
  const { stmts = [] } = (await parse(text)) as { stmts?: { stmt: Node }[] };
  const reading = new Reading(isOfFleet);
  for (const { stmt } of stmts) reading.query(stmt, null);
  return reading.untied();
}

const READ_WITH_NAMES = new Set([
  ...['withClause', 'relation', 'fromClause', 'usingClause', 'selectStmt', 'subselect', 'larg', 'rarg'],
]);

class Reading {
  private readonly ties = new Ties();
  private readonly tables: { table: string; node: string }[] = [];
  private made = 0;

  constructor(private readonly isOfFleet: (table: string) => boolean) {}

  untied(): string[] {
    return this.tables
      .filter(({ node }) => this.ties.of(node) !== this.ties.of(GIVEN))
      .map(({ table }) => table);
  }

  /**
   * Reads a statement or subquery. @returns the node for the fleet of its rows; null when they have
   * none
   */
  query(statement: Node, outer: Scope | null): string | null {
    const [[kind, body]] = Object.entries(statement) as [[string, Node]];
    const scope: Scope = { names: new Map(), outer, first: null };
    for (const { CommonTableExpr: cte } of body.withClause?.ctes ?? [])
      scope.names.set(cte.ctename, this.query(cte.ctequery, scope) ?? this.fresh());
    if (body.larg) {
      const arms = [body.larg, body.rarg].map((arm) => this.query({ SelectStmt: arm }, scope));
      this.ties.tie(arms[0] ?? null, arms[1] ?? null);
      return arms[0] ?? null;
    }
    // An inserted row names its own fleet, and row-level security checks it.
    if (kind === 'InsertStmt')
      this.name(scope, body.relation.alias?.aliasname ?? body.relation.relname, GIVEN);
    else if (body.relation) this.relation({ RangeVar: body.relation }, scope);
    for (const item of [...(body.fromClause ?? []), ...(body.usingClause ?? [])]) this.relation(item, scope);
    if (body.selectStmt) this.query(body.selectStmt, scope);
    this.conditions(body, scope);
    return this.fleetOf((kind === 'SelectStmt' ? body.targetList : body.returningClause?.exprs) ?? [], scope);
  }

  private relation(item: Node, scope: Scope): void {
    const { RangeVar: table, RangeSubselect: sub, JoinExpr: join } = item;
    if (table) {
      const known = this.find(table.relname, scope);
      const node = known ?? this.fresh();
      this.name(scope, table.alias?.aliasname ?? table.relname, node);
      if (known === null && this.isOfFleet(table.relname)) this.tables.push({ table: table.relname, node });
    } else if (sub) {
      this.name(scope, sub.alias?.aliasname ?? '', this.query(sub.subquery, scope) ?? this.fresh());
    } else if (join) {
      this.relation(join.larg, scope);
      this.relation(join.rarg, scope);
      if (join.quals) this.conditions(join.quals, scope);
    }
  }

  /** Searches an expression for equal fleet ids, and for queries inside it. */
  private conditions(part: unknown, scope: Scope, isSo = true): void {
    if (Array.isArray(part)) for (const each of part) this.conditions(each, scope, isSo);
    if (typeof part !== 'object' || part === null || Array.isArray(part)) return;
    const { A_Expr: expression, SubLink: sub } = part as Node;
    if (isSo && expression?.name?.[0]?.String?.sval === '=')
      this.equal(expression.lexpr, expression.rexpr, scope);
    if (sub) {
      const inner = this.query(sub.subselect, scope);
      if (isSo && sub.testexpr) this.ties.tie(this.fleetIn(sub.testexpr, scope), inner);
    }
    // A condition that need not hold ties nothing.
    const isEitherOr = ['OR_EXPR', 'NOT_EXPR'].includes((part as Node).BoolExpr?.boolop);
    for (const [key, value] of Object.entries(part)) {
      // These are read where their names are defined.
      if (!READ_WITH_NAMES.has(key)) this.conditions(value, scope, isSo && !isEitherOr);
    }
  }

  private equal(left: Node, right: Node, scope: Scope): void {
    const pairs: [Node, Node][] =
      left.RowExpr && right.RowExpr
        ? left.RowExpr.args.map((each: Node, index: number) => [each, right.RowExpr.args[index]])
        : [[left, right]];
    for (const [a, b] of pairs) this.ties.tie(this.fleetOfColumn(a, scope), this.fleetOfValue(b, scope));
    for (const [a, b] of pairs) this.ties.tie(this.fleetOfColumn(b, scope), this.fleetOfValue(a, scope));
  }

  /** The fleet of a query's rows: that of the column `fleet_id` in its output. */
  private fleetOf(targets: Node[], scope: Scope): string | null {
    for (const { ResTarget: target } of targets) {
      const value = target?.val as Node | undefined;
      if (!value) continue;
      if (target.name === 'fleet_id') return this.fleetOfValue(value, scope);
      const found = this.fleetIn(value, scope);
      if (found !== null) return found;
    }
    return null;
  }

  private fleetIn(value: Node, scope: Scope): string | null {
    if (value.RowExpr) {
      const found = value.RowExpr.args.map((each: Node) => this.fleetOfColumn(each, scope));
      return found.find((each: string | null) => each !== null) ?? null;
    }
    const last = value.ColumnRef?.fields.at(-1);
    if (last && 'A_Star' in last) {
      const [first] = value.ColumnRef.fields;
      return first.String ? this.find(first.String.sval, scope) : this.only(scope);
    }
    return this.fleetOfColumn(value, scope);
  }

  private fleetOfValue(value: Node, scope: Scope): string | null {
    if (value.TypeCast) return this.fleetOfValue(value.TypeCast.arg, scope);
    return value.ParamRef ? GIVEN : this.fleetOfColumn(value, scope);
  }

  /** The relation whose `fleet_id` this column is, or for the table of fleets, whose `id`. */
  private fleetOfColumn(value: Node, scope: Scope): string | null {
    const fields: string[] = value.ColumnRef?.fields.map((field: Node) => field.String?.sval ?? '*') ?? [];
    const column = fields.at(-1);
    const relation = fields.length > 1 ? this.find(fields.at(-2) ?? '', scope) : this.only(scope);
    if (column === 'fleet_id') return relation;
    return column === 'id' && relation !== null && this.isFleets(relation) ? relation : null;
  }

  private isFleets(node: string): boolean {
    return this.tables.some((each) => each.node === node && each.table === 'fleets');
  }

  /** A column without a table name belongs to the first relation that is read. */
  private only(scope: Scope): string | null {
    return scope.first;
  }

  private find(name: string, scope: Scope | null): string | null {
    return scope === null ? null : (scope.names.get(name) ?? this.find(name, scope.outer));
  }

  private name(scope: Scope, name: string, node: string): void {
    scope.names.set(name, node);
    scope.first ??= node;
  }

  private fresh(): string {
    return `relation ${++this.made}`;
  }
}
