import { Body, Controller, Query } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { IdParam } from '../../platform/input/id-param.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import type { Page } from '../../platform/pages/pages.js';
import {
  ChangeRoute,
  CreateRoute,
  DeleteRoute,
  IfMatch,
  ListRoute,
  ReadRoute,
} from '../../platform/resources/resource-routes.js';
import { DepotInput, DepotPage, DepotView } from './depot.dto.js';
import { DepotsService } from './depots.service.js';

@ApiTags('depots')
@Controller('v1/depots')
export class DepotsController {
  constructor(private readonly depots: DepotsService) {}

  @ListRoute('List the depots, by name', DepotPage)
  list(@Query() query: PageQueryDto): Promise<Page<DepotView>> {
    return this.depots.list(query);
  }

  @CreateRoute('Add a depot', DepotView)
  create(@Body() input: DepotInput): Promise<DepotView> {
    return this.depots.create(input);
  }

  @ReadRoute('Read a depot', DepotView)
  get(@IdParam('depot') id: string): Promise<DepotView> {
    return this.depots.get(id);
  }

  @ChangeRoute('Change a depot', DepotInput, DepotView)
  patch(
    @IdParam('depot') id: string,
    @Body() patch: object,
    @IfMatch() ifMatch: string | undefined,
  ): Promise<DepotView> {
    return this.depots.patch(id, patch, ifMatch);
  }

  @DeleteRoute('Delete a depot that nothing refers to')
  remove(@IdParam('depot') id: string): Promise<void> {
    return this.depots.remove(id);
  }
}
