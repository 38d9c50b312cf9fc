#!/usr/bin/env bash
# The pictures of the window in the README, made without a screen.
set -euo pipefail
cd "$(dirname "$0")/../.."
for theme in light dark; do
  for name in plant-room riser; do
    python -m layoutest draw "demo_layouts/$name.layout.json" --theme "$theme" --size 1600x1000 \
      --replay "tests/bench/$name.events" --picture "assets/window-$name-$theme.png"
  done
done
