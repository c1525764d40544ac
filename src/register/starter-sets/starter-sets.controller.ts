import { Body, Controller, Get, Post } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { ManagerWork } from '../../platform/access/access.js';
import { StarterSetList, TakenStarterSets, TakeStarterSets } from './starter-set.dto.js';
import { StarterSetsService } from './starter-sets.service.js';

@ApiTags('starter sets')
@Controller('v1/starter-sets')
export class StarterSetsController {
  constructor(private readonly starterSets: StarterSetsService) {}

  @Get()
  @ManagerWork()
  @ApiOperation({
    summary: 'List the ready-made beginnings: a spec sheet and an interval plan for a kind of vehicle',
    description:
      "Common practice, to be replaced by the maker's figures. Each value says what it rests on, and why.",
  })
  @ApiOkResponse({ type: StarterSetList })
  list(): StarterSetList {
    return this.starterSets.list();
  }

  @Post()
  @ManagerWork()
  @ApiOperation({
    summary: 'Take ready-made beginnings: makes a spec sheet and an interval plan of each',
    description:
      'All or none. Every answer that shows or uses them says that they are common practice, until a manager confirms them or changes their values.',
  })
  @ApiCreatedResponse({ type: TakenStarterSets })
  take(@Body() { sets }: TakeStarterSets): Promise<TakenStarterSets> {
    return this.starterSets.take(sets);
  }
}
