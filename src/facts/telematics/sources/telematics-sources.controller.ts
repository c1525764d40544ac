import { Body, Controller, HttpCode, Post, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { ManagerWork } from '../../../platform/access/access.js';
import { IdParam } from '../../../platform/input/id-param.js';
import { PageQueryDto } from '../../../platform/pages/page-query.dto.js';
import type { Page } from '../../../platform/pages/pages.js';
import {
  ChangeRoute,
  CreateRoute,
  DeleteRoute,
  IfMatch,
  ListRoute,
  ReadRoute,
} from '../../../platform/resources/resource-routes.js';
import {
  TelematicsSourceInput,
  TelematicsSourcePage,
  TelematicsSourceView,
} from './telematics-source.dto.js';
import { TelematicsSourcesService } from './telematics-sources.service.js';

@ApiTags('telematics')
@ManagerWork()
@Controller('v1/telematics-sources')
export class TelematicsSourcesController {
  constructor(private readonly sources: TelematicsSourcesService) {}

  @ListRoute('List the telematics sources, by name', TelematicsSourcePage)
  list(@Query() query: PageQueryDto): Promise<Page<TelematicsSourceView>> {
    return this.sources.list(query);
  }

  @CreateRoute('Add a telematics source; it is polled at once', TelematicsSourceView)
  create(@Body() input: TelematicsSourceInput): Promise<TelematicsSourceView> {
    return this.sources.create(input);
  }

  @ReadRoute('Read a telematics source and how it is doing', TelematicsSourceView)
  get(@IdParam('telematics source') id: string): Promise<TelematicsSourceView> {
    return this.sources.get(id);
  }

  @ChangeRoute('Change a telematics source', TelematicsSourceInput, TelematicsSourceView)
  patch(
    @IdParam('telematics source') id: string,
    @Body() patch: object,
    @IfMatch() ifMatch: string | undefined,
  ): Promise<TelematicsSourceView> {
    return this.sources.patch(id, patch, ifMatch);
  }

  @DeleteRoute('Remove a telematics source and its tokens; the readings that it brought stay')
  remove(@IdParam('telematics source') id: string): Promise<void> {
    return this.sources.remove(id);
  }

  @Post(':id/poll')
  @HttpCode(200)
  @ApiOperation({ summary: 'Poll a telematics source as soon as possible' })
  @ApiOkResponse({ type: TelematicsSourceView })
  pollNow(@IdParam('telematics source') id: string): Promise<TelematicsSourceView> {
    return this.sources.pollNow(id);
  }
}
