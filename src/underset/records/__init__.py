"""Frozen, validated records: vehicle, lift and bay, adapter, job, policy, workshop."""
