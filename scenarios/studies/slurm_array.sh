#!/bin/bash
# SPDX-License-Identifier: MIT
# A study as a job array of Slurm: every task does one part; the parts are gathered afterwards.
#
#   sbatch scenarios/studies/slurm_array.sh
#   sbatch --dependency=afterany:JOB --wrap 'damper gather series_parts --out series.h5'
#
# A task that was killed or ran out of time goes on where it was when it is submitted again with
# the same numbers: sbatch --array=3 scenarios/studies/slurm_array.sh
#SBATCH --job-name=series
#SBATCH --array=1-8
#SBATCH --cpus-per-task=2
#SBATCH --mem=500M
#SBATCH --time=00:30:00
set -euo pipefail

parts=${STUDY_PARTS:-8}   # as many as the array has
count=${STUDY_COUNT:-20000}
folder=${STUDY_FOLDER:-series_parts}

exec damper scatter car_idle_hot \
    --spread 'disc.stages[0].hysteresis=normal(nominal, 30 %, times 0.2, times 3)' \
    --spread 'disc.stages[0].stiffness=normal(nominal, 10 %)' \
    --spread 'conditions.gearbox_oil=uniform(60 degC, 95 degC)' \
    --set 'manoeuvre.settle=0.15 s' --set 'manoeuvre.length=0.45 s' \
    --set 'recording.step=0.5 ms' \
    --count "$count" --shard "$SLURM_ARRAY_TASK_ID/$parts" \
    --threads "${SLURM_CPUS_PER_TASK:-0}" --out "$folder"
