import { useState } from 'preact/hooks';
import { Button } from '../../components/button.tsx';
import { useReader } from '../../components/model.ts';
import type { LiveCamera } from '../../sources/camera/live.ts';
import { ControlsSection } from './controls-section.tsx';
import { LivePicture } from './live-picture.tsx';

interface AimStepProps {
  camera: LiveCamera;
  onFreeze: () => void;
  onBack: () => void;
}

/** The live picture with a circle that the dial fills, and what the camera offers. */
export function AimStep({ camera, onFreeze, onBack }: AimStepProps) {
  const { t } = useReader();
  // Read once, not at every render.
  const [controls] = useState(() => camera.controls());
  return (
    <>
      <p class="camera-now">{t.camera.aimHint}</p>
      <LivePicture camera={camera} label={t.camera.live}>
        <svg viewBox="0 0 100 100" class="camera-overlay aim" aria-hidden="true">
          <circle cx="50" cy="50" r="45" class="halo" />
          <circle cx="50" cy="50" r="45" />
        </svg>
      </LivePicture>
      {controls && <ControlsSection controls={controls} />}
      <div class="action pair">
        <Button kind="main" onClick={onFreeze}>
          {t.camera.freeze}
        </Button>
        <Button onClick={onBack}>{t.camera.back}</Button>
      </div>
    </>
  );
}
