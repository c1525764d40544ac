import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, In } from 'typeorm';
import { Depot } from '../../entities/depot.entity.js';
import { Fleet } from '../../entities/fleet.entity.js';
import { Person } from '../../entities/person.entity.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { MeView } from './me.dto.js';

@Injectable()
export class MeService {
  constructor(@InjectDataSource() private readonly dataSource: DataSource) {}

  async get(): Promise<MeView> {
    const { manager } = this.dataSource;
    const {
      fleetId,
      role,
      depotIds,
      person,
      units,
      timeZone,
      language = 'en',
      sessionId = null,
    } = fleetScope();
    if (role === null) throw new Error('a request always has a role');
    const select = { id: true, name: true } as const;
    const [fleet, depots, own] = await Promise.all([
      manager.findOneOrFail(Fleet, { select, where: { id: fleetId } }),
      depotIds
        ? manager.find(Depot, { select, where: { fleetId, id: In([...depotIds]) }, order: { name: 'ASC' } })
        : null,
      person ? manager.findOneBy(Person, { fleetId, id: person.id }) : null,
    ]);
    return {
      person: person
        ? {
            ...{ id: person.id, name: person.name },
            ...{ badge: own?.badge ?? null, language: own?.language ?? null },
          }
        : null,
      sessionId,
      role,
      depots: depots?.map(({ id, name }) => ({ id, name })) ?? null,
      fleet: { id: fleet.id, name: fleet.name },
      ...{ units, timeZone, language },
    };
  }
}
