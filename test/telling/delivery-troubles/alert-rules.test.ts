import { readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { type Service, startService } from '../../support/service.js';

interface Rule {
  alert: string;
  expr: string;
  for?: string;
  labels: { severity: string };
  annotations: { summary: string };
}

/** The rules that the manual gives operators to copy. */
function rulesOfManual(): Rule[] {
  const manual = readFileSync(new URL('../../../docs/operations.md', import.meta.url), 'utf8');
  const blocks = [...manual.matchAll(/```yaml\n(.*?)```/gs)].map(([, text]) => parse(text ?? '') as object);
  return blocks.flatMap((block) =>
    'groups' in block ? (block.groups as { rules: Rule[] }[]).flatMap(({ rules }) => rules) : [],
  );
}

describe('the alert rules of the manual', () => {
  let service: Service;

  beforeAll(async () => {
    service = await startService({ withWorker: true });
  });
  afterAll(() => service.stop());

  it('use only metrics that the service exports', async () => {
    const { body } = await service.operator().get<string>('/metrics');
    const told = new Set([...body.matchAll(/^# TYPE (\S+) /gm)].map(([, name]) => name));
    const rules = rulesOfManual();
    expect(rules.length).toBeGreaterThan(5);
    for (const { alert, expr } of rules) {
      const names = expr.match(/weephole_\w+/g) ?? [];
      expect([alert, names.length > 0, names.filter((name) => !told.has(name))]).toEqual([alert, true, []]);
    }
  });

  it('each have their own name, a severity, and a sentence that states the problem', () => {
    const rules = rulesOfManual();
    expect(new Set(rules.map(({ alert }) => alert)).size).toBe(rules.length);
    for (const { alert, labels, annotations } of rules)
      expect([alert, labels.severity, annotations.summary]).toEqual([
        expect.stringMatching(/^Weephole[A-Z]\w+$/),
        expect.stringMatching(/^(critical|warning|info)$/),
        expect.stringMatching(/\.$/),
      ]);
  });
});
