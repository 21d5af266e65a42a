/** What `shipped-core.ts` bundles. */

export { openLiveView } from '../../../worker/core/measure/live-view.ts';
export { readTrace } from '../../../worker/core/measure/read-trace.ts';
