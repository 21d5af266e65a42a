import { useState } from 'preact/hooks';
import { useReader } from '../../components/model.ts';
import { Tick } from '../../components/tick.tsx';
import type { CameraControls, RangeName } from '../../sources/camera/controls.ts';

const RANGES: readonly RangeName[] = ['zoom', 'focusDistance', 'exposureCompensation'];

/** Lamp, zoom, focus and brightness, as far as the camera has them. */
export function ControlsSection({ controls }: { controls: CameraControls }) {
  const { t } = useReader();
  const [torch, setTorch] = useState(controls.torch ?? false);
  return (
    <div class="stack camera-controls">
      {controls.torch !== null && (
        <Tick
          checked={torch}
          label={t.camera.torch}
          onChange={(on) => {
            setTorch(on);
            void controls.setTorch(on);
          }}
        />
      )}
      {RANGES.map((name) => controls[name] && <Slider key={name} controls={controls} name={name} />)}
    </div>
  );
}

function Slider({ controls, name }: { controls: CameraControls; name: RangeName }) {
  const { t } = useReader();
  const range = controls[name];
  const [value, setValue] = useState(range?.value ?? 0);
  if (!range) return null;
  return (
    <label class="slider">
      <span class="label">{t.camera[name]}</span>
      <input
        type="range"
        min={range.min}
        max={range.max}
        step={range.step}
        value={value}
        onInput={(event) => {
          const next = event.currentTarget.valueAsNumber;
          setValue(next);
          void controls.set(name, next);
        }}
      />
    </label>
  );
}
