"""From a log's shape to the cuts: mill, aims, rates and the exact planner."""
